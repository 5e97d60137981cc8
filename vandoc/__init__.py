"""vandoc: one van file in, a checked, drawn, browsable owner's manual out."""

__version__ = "0.1.0"
