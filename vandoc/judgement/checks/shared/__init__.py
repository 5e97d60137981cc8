"""What several rules of a family share, and what cures ask of a van."""
