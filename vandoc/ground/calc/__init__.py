"""Pure formulas: floats with the unit in the name; standard library and published tables only."""
