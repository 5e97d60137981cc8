"""Rules on voltage drop."""
