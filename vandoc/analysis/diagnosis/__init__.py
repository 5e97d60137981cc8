"""How to find a fault: what can break, what can be asked, and in which order."""
