"""Use without signal: QR codes at the door, the card they open, and the copy saved on the phone."""
