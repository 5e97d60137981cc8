"""The owner's book and the electrician's book: the pages of the manual, bound."""

from vandoc.paper.books.binding import BOOKS, print_book

__all__ = ["BOOKS", "print_book"]
