"""Rules about the reviews that persons have made of findings."""
