"""Whether what is judged is what was archived."""
