"""Rules about what is not known, and about vans that are documented as they were found."""
