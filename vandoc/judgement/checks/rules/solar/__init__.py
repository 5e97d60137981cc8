"""Rules on solar charging: the array suits its solar charge controller."""
