"""What should not be in a van file, which becomes a published manual: marks of the vehicle or its people."""
