"""Where there is no signal: codes at the door, the card behind them, the copy on the phone."""
