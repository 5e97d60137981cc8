"""Lists to work from: what to cut and crimp, to buy and to carry; as pages and for spreadsheets."""

from vandoc.pages.manual.lists.pages import files, pages
from vandoc.pages.manual.lists.table import Table

__all__ = ["Table", "files", "pages"]
