"""Rules on protection: each positive conductor is protected at both ends against every source.

A conductor is unprotected at an end if a source there can exceed its current-carrying capacity. That is
allowed over a short length that leads only to fuses small enough to protect it."""
