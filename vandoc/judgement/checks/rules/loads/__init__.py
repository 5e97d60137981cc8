"""Checks of loads that others plug in, that move, or that heat."""
