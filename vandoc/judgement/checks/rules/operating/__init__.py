"""Rules on the solved network of each operating state: voltages and currents."""
