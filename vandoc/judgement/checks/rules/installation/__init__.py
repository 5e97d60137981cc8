"""Rules on the work on the vehicle itself, as the installer records it."""
