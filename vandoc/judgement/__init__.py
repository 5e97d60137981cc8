"""What the rules say of a van, what would cure it, and what changed since a revision."""
