"""Rules on batteries: isolation, current sharing in parallel and discharge limits."""
