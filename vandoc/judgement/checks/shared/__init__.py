"""Functions shared by the rules of a family and by the cures."""
