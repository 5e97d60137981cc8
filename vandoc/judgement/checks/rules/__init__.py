"""The rules: a folder for each family, a file for each check, its words beside it."""
