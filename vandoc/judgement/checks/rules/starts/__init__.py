"""Rules on starting currents and on the surge of inverters."""
