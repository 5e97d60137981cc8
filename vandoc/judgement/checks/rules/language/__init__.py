"""Rules on the language of the manual."""
