"""Whether a short circuit at the end of each circuit is seen by a fuse, in time, and by that fuse alone."""
