"""Rules on current-carrying capacity: each cable in its place, and the sizes proposed where none is given."""
