"""Rules on readings, compared with the values that the model expects; only the newest of each is used."""
