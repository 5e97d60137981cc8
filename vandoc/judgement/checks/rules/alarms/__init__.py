"""Rules on alarms for carbon monoxide, gas and smoke."""
