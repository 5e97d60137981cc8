"""Physics of a van: the wiring as a graph and its solution, sizing, energy."""
