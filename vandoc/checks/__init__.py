"""The rules, one file for each family; `run` judges a van by all of them."""
