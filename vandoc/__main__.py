"""`python -m vandoc` is `vandoc`."""

from vandoc.cli import main

main()
