"""Setting of text to fit a label, with a note if it does not fit."""

from dataclasses import dataclass, replace

from vandoc.paper.labels.label import Label, Line
from vandoc.paper.metrics import MM_PER_PT, foreign, in_lines, right_to_left, shortened, width_mm

LARGEST_PT = 13.0  # own choice: a title that can be read at arm's length
SMALLEST_PT = 6.0  # own choice: a small letter of 1 mm, which most people read without a glass
SPLIT_PT = 6.5  # own choice: a list of fuses continues on a further label before its text becomes smaller
TITLE = 1.35  # multiple of the text size
FOOT_PT = SMALLEST_PT
LEADING = 1.22
SIGN_SHARE = 0.3  # maximum fraction of the width
GAP_MM = 1.5
LONGEST_MM = 160.0  # own choice: maximum length of a label on a tape
TAPE_STEP_MM = 5.0


@dataclass(frozen=True)
class Text:
    """Line of text in position, from the top left corner of its label to that of its line box. [mm]"""

    x_mm: float
    y_mm: float
    width_mm: float
    size_pt: float
    text: str
    bold: bool = False
    muted: bool = False
    rtl: bool = False

    @property
    def height_mm(self) -> float:
        """Height of the line box. [mm]"""
        return self.size_pt * LEADING * MM_PER_PT


@dataclass(frozen=True)
class TypesetLabel:
    """Label ready for printing: its text in position, and its sign.

    Attributes
    ----------
    label : Label
        With the lines that are printed on it.
    texts : tuple of Text
    sign_mm : tuple of float or None
        Left edge, top edge and side length of the sign.
    fold_mm : float or None
        Position of the fold of a label around a cable.
    fits : bool
        False if text was cut off.
    foreign : bool
        Whether it has characters from other fonts.
    """

    label: Label
    width_mm: float
    height_mm: float
    texts: tuple[Text, ...]
    sign_mm: tuple[float, float, float] | None
    fold_mm: float | None
    fits: bool

    @property
    def foreign(self) -> bool:
        """Whether it needs another font of the computer."""
        return any(foreign(text.text) for text in self.texts)


def set_on_tape(label: Label, height_mm: float, padding_mm: float) -> list[TypesetLabel]:
    """Return a label on a tape, as short as its text permits at `SPLIT_PT`, or otherwise at `SMALLEST_PT`."""
    made = []
    for part in set_label(label, LONGEST_MM, height_mm, padding_mm):
        lengths = [step * TAPE_STEP_MM for step in range(4, int(LONGEST_MM / TAPE_STEP_MM) + 1)]
        found = next(
            (
                (length, least)
                for least in (SPLIT_PT, SMALLEST_PT)
                for length in lengths
                if _fits(part.label, length, height_mm, padding_mm, least)
            ),
            None,
        )
        made.append(_one(part.label, found[0], height_mm, padding_mm, found[1]) if found else part)
    return made


def set_label(label: Label, width_mm: float, height_mm: float, padding_mm: float) -> list[TypesetLabel]:
    """Return a label at a given size, as several labels if its list is too long for one.

    Text shrinks from `LARGEST_PT` to `SMALLEST_PT`. If it does not fit even then, it is cut at "…", and
    `fits` is False.
    """
    if not label.splits:
        return [_one(label, width_mm, height_mm, padding_mm, SMALLEST_PT)]
    rest, made = list(label.lines), []
    while rest:
        count = 1
        while count < len(rest) and _fits(
            _part(label, rest[: count + 1]), width_mm, height_mm, padding_mm, SPLIT_PT
        ):
            count += 1
        made.append(_one(_part(label, rest[:count]), width_mm, height_mm, padding_mm, SMALLEST_PT))
        rest = rest[count:]
    return made


def _part(label: Label, lines: list[Line]) -> Label:
    return replace(label, lines=tuple(lines))


@dataclass(frozen=True)
class _Room:
    """Area of a label that is available for text. [mm]"""

    left: float
    width: float
    height: float
    foot: float
    side: float  # of its sign


def _room(label: Label, width: float, height: float, padding: float) -> _Room:
    foot = FOOT_PT * LEADING * MM_PER_PT
    inner = height - 2 * padding - foot
    side = min(inner, SIGN_SHARE * width) if label.sign else 0.0
    left = padding + (side + GAP_MM if side else 0.0)
    return _Room(left, (width / 2 if label.flag else width) - padding - left, inner, foot, side)


def _fits(label: Label, width: float, height: float, padding: float, size: float) -> bool:
    """Whether the text of a label fits at a given text size."""
    room = _room(label, width, height, padding)
    rows = _rows(label, size, room.width)
    return rows is not None and _height(rows, size) <= room.height


def _one(label: Label, width: float, height: float, padding: float, smallest: float) -> TypesetLabel:
    room = _room(label, width, height, padding)
    fold = width / 2 if label.flag else None
    size, rows, fits = _shrunk(label, room.width, room.height, smallest)
    texts = _placed(rows, _indent(label, size), room.left, padding, room.width, size, room.height)
    texts.append(_foot(label, padding, height - padding - room.foot, (fold or width) - 2 * padding))
    if label.flag:
        texts += [replace(text, x_mm=text.x_mm + width / 2) for text in tuple(texts)]
    sign = (padding, padding + (room.height - room.side) / 2, room.side) if label.sign else None
    return TypesetLabel(label, width, height, tuple(texts), sign, fold, fits)


@dataclass(frozen=True)
class _Row:
    text: str
    mark: str
    bold: bool
    rtl: bool  # direction of the whole paragraph


def _shrunk(label: Label, room: float, inner: float, smallest: float) -> tuple[float, list[_Row], bool]:
    steps = int((LARGEST_PT / TITLE - smallest) / 0.25)
    for step in range(steps + 1):
        size = LARGEST_PT / TITLE - 0.25 * step
        rows = _rows(label, size, room)
        if rows is not None and _height(rows, size) <= inner:
            return size, rows, True
    rows = _rows(label, smallest, room)
    if rows is not None and _height(rows, smallest) <= inner:
        return smallest, rows, True
    return smallest, _cut_rows(label, smallest, room, inner), False


def _rows(label: Label, size: float, room: float) -> list[_Row] | None:
    title = in_lines(label.title, size * TITLE, room, bold=True)
    if title is None:
        return None
    rows = [_Row(line, "", True, right_to_left(label.title)) for line in title]
    for line in label.lines:
        words = in_lines(line.text, size, room - _indent(label, size))
        if words is None:
            return None
        rtl = right_to_left(line.text)
        rows += [_Row(text, line.mark if n == 0 else "", False, rtl) for n, text in enumerate(words)]
    return rows


def _indent(label: Label, size: float) -> float:
    """Common left edge of the text beside the marks."""
    widest = max((width_mm(line.mark, size, bold=True) for line in label.lines), default=0.0)
    return widest + size * 0.4 * MM_PER_PT if widest else 0.0


def _height(rows: list[_Row], size: float) -> float:
    return sum((size * TITLE if row.bold else size) * LEADING * MM_PER_PT for row in rows)


def _cut_rows(label: Label, size: float, room: float, inner: float) -> list[_Row]:
    """Reduce a label to one line for the title and one for each entry, as many as its height permits."""
    rows = [_Row(shortened(label.title, size * TITLE, room, bold=True), "", True, right_to_left(label.title))]
    for line in label.lines:
        row = _Row(
            shortened(line.text, size, room - _indent(label, size)),
            line.mark,
            False,
            right_to_left(line.text),
        )
        if _height([*rows, row], size) > inner:
            break
        rows.append(row)
    return rows


def _placed(
    rows: list[_Row], indent: float, left: float, top: float, room: float, size: float, inner: float
) -> list[Text]:
    placed: list[Text] = []
    y = top + (inner - _height(rows, size)) / 2
    for row in rows:
        pt = size * TITLE if row.bold else size
        shift = 0.0 if row.bold else indent
        if row.mark:
            placed.append(Text(left, y, indent, pt, row.mark, bold=True))
        placed.append(Text(left + shift, y, room - shift, pt, row.text, row.bold, rtl=row.rtl))
        y += pt * LEADING * MM_PER_PT
    return placed


def _foot(label: Label, x: float, y: float, room: float) -> Text:
    return Text(x, y, room, FOOT_PT, shortened(label.foot, FOOT_PT, room), muted=True)
