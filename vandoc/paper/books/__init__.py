"""The glovebox book and the electrician's book: the same pages as on the web, bound."""

from vandoc.paper.books.binding import BOOKS, print_book

__all__ = ["BOOKS", "print_book"]
