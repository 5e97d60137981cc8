"""Data model of one van: frozen and typed; the model itself checks no design rules."""
