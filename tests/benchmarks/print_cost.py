"""Processor time of printing a van against that of making the pages of its manual, in one run.

Run: .venv/bin/python tests/benchmarks/print_cost.py [VAN_FILE] [--sheet NAME]

Printed: the time of the pages; for the labels and each book the time, and how many times that of the pages.
"""

import argparse
import time
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from vandoc.doors.build import read, write_manual
from vandoc.pages.manual.book import Book
from vandoc.paper.books import BOOKS, print_book
from vandoc.paper.labels import print_labels, sheets

ROOT = Path(__file__).parents[2]
Made = TypeVar("Made")


def timed(make: Callable[[], Made]) -> tuple[Made, float]:
    """Return what is made and the processor time that it took. [s]"""
    start = time.process_time()
    made = make()
    return made, time.process_time() - start


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("van_file", nargs="?", type=Path, default=ROOT / "sites/curlew/van.yml")
    parser.add_argument("--sheet", default="3x8")
    asked = parser.parse_args()
    van = read(asked.van_file)
    book = Book(van)
    write_manual(van)  # warms the templates
    pages, of_pages = timed(lambda: write_manual(van))
    print(f"pages        {of_pages:6.2f} s")
    labels, taken = timed(lambda: print_labels(book, sheets()[asked.sheet]))
    size = len(labels.files["labels.pdf"])
    print(f"labels       {taken:6.2f} s  {taken / of_pages:5.1f} times  {size:9} bytes")
    for which in BOOKS:
        made, taken = timed(lambda which=which: print_book(book, pages, which))
        print(f"{which:12} {taken:6.2f} s  {taken / of_pages:5.1f} times  {len(made):9} bytes")


if __name__ == "__main__":
    main()
