"""Rules on mains: its equipment is recorded, never assessed; that is left to licensed practice."""
