"""Whether each charger treats the battery as its chemistry needs."""
