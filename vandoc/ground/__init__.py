"""What everything stands on: errors, units, words, figures for people, published tables, formulas."""
