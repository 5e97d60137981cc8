"""Rules on charging profiles: each charger suits the chemistry of its battery."""
