"""Sizes of label sheets and tapes, built in or from third-party packages."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from vandoc.ground.data import parse, rows
from vandoc.ground.extensions import Extension, blamed, extensions
from vandoc.paper.words import say

A4_MM = (210.0, 297.0)
TABLE = "label_sheets"


@dataclass(frozen=True)
class Sheet:
    """Sheet of labels, or a tape whose labels are as long as their text.

    All dimensions in mm, from the top left corner of the sheet; None for those that a tape does not have.
    """

    name: str
    kind: str
    page_width_mm: float | None
    page_height_mm: float
    columns: int
    rows: int
    label_width_mm: float | None
    label_height_mm: float
    left_mm: float
    top_mm: float
    pitch_x_mm: float | None
    pitch_y_mm: float | None
    padding_mm: float

    @property
    def tape(self) -> bool:
        """Whether it is a tape."""
        return self.kind == "tape"

    def spots(self) -> Iterator[tuple[float, float]]:
        """Yield the top left corner of each label of one sheet, row by row."""
        for row in range(self.rows):
            for column in range(self.columns):
                yield (
                    self.left_mm + column * (self.pitch_x_mm or 0),
                    self.top_mm + row * (self.pitch_y_mm or 0),
                )


def sheets() -> Mapping[str, Sheet]:
    """Return every sheet and tape by its name.

    Raises
    ------
    ExtensionError
        If a package's table cannot be read, or has the name of an existing sheet.
    """
    return _sheets_with(extensions("label_sheets"))


@cache
def _sheets_with(added: tuple[Extension, ...]) -> Mapping[str, Sheet]:
    found = {sheet.name: sheet for sheet in rows(TABLE, Sheet)}
    for extension in added:
        table = extension.folder() / f"{TABLE}.csv"
        with blamed(extension.package):
            for sheet in parse(TABLE, table.read_text("utf-8"), Sheet):
                if sheet.name in found:
                    raise ValueError(say("sheet_taken", name=sheet.name))
                found[sheet.name] = sheet
    return MappingProxyType(found)
