"""A van file and what was archived of it: read, explained, edited, kept."""
