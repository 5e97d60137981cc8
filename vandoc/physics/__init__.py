"""What a van does: its wiring as a graph, solved; sizes; energy."""
