"""Working lists for cutting, crimping, purchasing and spares, as pages and for spreadsheets."""

from vandoc.pages.manual.lists.pages import files, pages
from vandoc.pages.manual.lists.table import Table

__all__ = ["Table", "files", "pages"]
