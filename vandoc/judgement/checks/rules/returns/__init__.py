"""Whether the way back is as good as the way there."""
