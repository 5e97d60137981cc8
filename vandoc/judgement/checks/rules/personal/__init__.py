"""Rules on personal data: the manual is published, so the van file must not identify vehicle or people."""
