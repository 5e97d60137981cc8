"""Vans as they are met: sampled worlds, a van in one of them, and what its owner sees and measures there."""
