"""Rules on what stays live when every battery isolator is off."""
