"""Working lists for cutting, crimping, purchasing and spares, as pages and for spreadsheets."""

from vandoc.pages.manual.lists.pages import bench_files, bench_tables, files, pages
from vandoc.pages.manual.lists.table import Table

__all__ = ["Table", "bench_files", "bench_tables", "files", "pages"]
