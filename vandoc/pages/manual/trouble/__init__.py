"""Fault-finding: symptoms of a van, questions and tests, and the pages for owner and electrician."""
