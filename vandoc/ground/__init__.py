"""Shared foundation: errors, units, messages, formatted figures, published tables and formulas."""
