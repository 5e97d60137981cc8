"""Whether enough voltage arrives."""
