"""Whether each fuse carries its current, breaks what a short circuit sends, and is one that can be bought."""
