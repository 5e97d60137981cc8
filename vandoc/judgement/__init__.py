"""Findings of the rules, remedies for them, proposed sizes and changes since a revision."""
