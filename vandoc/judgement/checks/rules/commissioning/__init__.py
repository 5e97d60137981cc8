"""What was measured against what the van's model expects; only the newest reading of each counts."""
