"""The ways in: commands, the MkDocs plugin, publishing."""
