"""The manual and its drawings."""
