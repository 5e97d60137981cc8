"""Whether boards, bars, switches, relays and shunts carry the current that runs through them."""
