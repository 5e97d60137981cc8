"""Pure formulas: floats in and out with the unit in the name, standard library and published tables only."""
