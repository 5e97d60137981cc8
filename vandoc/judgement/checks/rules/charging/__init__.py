"""Whether the alternator can give, and the batteries can take, what the chargers and relays pass on."""
