"""A label before its size is known: its words and its sign."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Line:
    """Line of text; `mark` precedes it in bold, such as the number of a fuse."""

    text: str
    mark: str = ""


@dataclass(frozen=True)
class Label:
    """One label, before its size is known.

    Attributes
    ----------
    kind : str
        Key under `labels.kind` in the messages.
    title : str
    lines : tuple of Line
    foot : str
        Name of the van and its revision.
    sign : str or None
        Number of a safety sign.
    flag : bool
        Whether it goes around a cable: its text is printed twice.
    splits : bool
        Whether it may continue on a further label if it has too many lines.
    """

    kind: str
    title: str
    lines: tuple[Line, ...]
    foot: str
    sign: str | None = None
    flag: bool = False
    splits: bool = False
