"""Rules on charging: the load on the alternator and the charging current limits of the batteries."""
