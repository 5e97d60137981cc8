"""Rules on negative returns: size, protection, earth points, shunts and sensors."""
