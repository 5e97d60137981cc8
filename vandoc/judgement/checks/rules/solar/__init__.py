"""Whether panels and their controller suit each other."""
