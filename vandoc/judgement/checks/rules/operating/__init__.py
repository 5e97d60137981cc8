"""Whether the solved network of each operating state gives what is asked of it."""
