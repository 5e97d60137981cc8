"""What stands at the head of each printed sheet that is no label and no book."""

from vandoc.pages.manual.book import Book, last_day
from vandoc.paper.pdf import FAMILY


def head_of(book: Book) -> dict[str, object]:
    """Return fonts, van, revision and date of the sheet, by their names in templates."""
    last = last_day(book.system)
    return {
        "family": FAMILY,
        "van": book.system.van,
        "revision": book.revision_in_print,
        "date": last.isoformat() if last else None,
    }
