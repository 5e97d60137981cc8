"""Whether each cable carries its current where it lies, and what was chosen where the file leaves it open."""
