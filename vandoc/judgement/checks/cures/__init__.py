"""Candidate remedies for a breach: changes of sizes and of equipment, the smallest change first."""
