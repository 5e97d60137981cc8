"""Reading, explaining, editing and archiving of a van file."""
