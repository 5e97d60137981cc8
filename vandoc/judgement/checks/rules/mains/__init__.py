"""Mains voltage: recorded, handed to licensed practice, never judged."""
