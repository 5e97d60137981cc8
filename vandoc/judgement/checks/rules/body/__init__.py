"""Rules on positive conductors that touch the vehicle body, and on the bond that returns their current."""
