"""Whether batteries can be cut off, share alike and give no more than they may."""
