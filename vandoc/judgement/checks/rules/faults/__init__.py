"""Rules on short circuits at the end of each circuit: detection, operating time and selectivity."""
