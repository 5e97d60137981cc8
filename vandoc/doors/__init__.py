"""Entry points: commands, the MkDocs plugin, publishing."""
