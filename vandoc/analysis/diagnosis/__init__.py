"""Fault-finding: possible faults, permitted questions, and the tree that asks them in the best order."""
