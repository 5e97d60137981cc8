"""The wiring as a graph, and the currents in it."""
