"""Rules on values that can be calculated with, but are hardly meant."""
