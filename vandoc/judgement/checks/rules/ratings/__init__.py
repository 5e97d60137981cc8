"""Rules on ratings: fuse boards, busbars, switches, relays and shunts carry their current."""
