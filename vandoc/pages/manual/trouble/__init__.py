"""Fault-finding: the symptoms of a van, what is asked, and the pages of both readers."""
