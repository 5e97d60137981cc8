"""Whether the wiring hangs together: nothing shorted, everything fed, every voltage in its own net."""
