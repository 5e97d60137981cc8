"""`python -m vandoc` is `vandoc`."""

from vandoc.doors.cli import main

main()
