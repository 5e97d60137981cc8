"""What is fitted in one van: frozen, typed, and free of any opinion about whether it is right."""
