"""Rules on locations: ignition protection, battery gas, heat, cable entries, distance and access."""
