"""Rules on revisions: the van file agrees with its archive."""
