"""The rules: one folder for each family, one file for each check, with its messages beside it."""
