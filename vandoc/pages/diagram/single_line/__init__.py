"""The single-line diagram of one van: an overview, and a sheet for each location and fuse board.

Energy flows from left to right: sources, their protection and chargers, the bar where most cables meet, then
protection, boards and loads. The layout program draws each sheet at the positions stated here.
"""

from vandoc.pages.diagram.single_line.sheets import Sheet, phone_sheet, sheets

__all__ = ["Sheet", "phone_sheet", "sheets"]
