"""Rules on connections: no short circuits, a supply for every load, one voltage in each net."""
