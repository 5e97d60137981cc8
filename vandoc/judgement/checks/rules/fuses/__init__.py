"""Rules on fuses: rated current, breaking capacity, rated voltage and standard ratings."""
