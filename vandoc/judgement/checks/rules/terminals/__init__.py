"""Rules on terminals: the tightening torque of studs."""
