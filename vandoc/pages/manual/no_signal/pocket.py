"""QR codes that need no network: contact, isolation steps and fuses are stored in the code itself.

They are contact cards (vCard 4.0, RFC 6350). A phone's built-in reader shows the whole card with its note and
a call button, and can save it; for plain text it usually offers a web search, which needs a network (from
memory).
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import segno

from vandoc.model import equipment as eq
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.fuse_looks import BLADES
from vandoc.pages.manual.owner.safety import SafeStep, Safety, safety_of
from vandoc.pages.manual.text import clean, enumerated, say
from vandoc.physics.network.graph import FuseLink

PRINT_MM = 50.0
QUIET_ZONE = 4  # modules, ISO/IEC 18004
# A phone camera image 1920 pixels wide, with a field of view of about 66°, spans 390 mm at 300 mm distance:
# 4.9 pixels per millimetre. A module of 0.6 mm is then 3 pixels wide (common practice, no source: readers
# need 2 or more), and 50 mm hold 81 modules: version 14 with its quiet zone.
LARGEST_BYTES = 458  # ISO/IEC 18004, table 7: version 14, level L, byte mode
MOST_CODES = 4
IMPORTANCE = ("critical", "lighting", "general")


@dataclass(frozen=True)
class Pocket:
    """One QR code with its content.

    Attributes
    ----------
    title : str
        Heading for its content.
    lines : tuple of str
        The lines of its note.
    text : str
        The contact card.
    """

    title: str
    lines: tuple[str, ...]
    text: str

    @cached_property
    def symbol(self) -> segno.QRCode:
        """The QR symbol, with the highest level of error correction that its size allows."""
        return segno.make(self.text, error="l", micro=False, encoding="utf-8")


@dataclass(frozen=True)
class Pockets:
    """All codes of a van, and the entries that did not fit."""

    codes: tuple[Pocket, ...]
    left_out: tuple[str, ...]


@dataclass(frozen=True)
class _Fuse:
    board: str
    text: str
    rank: tuple[int, int]


def pockets(book: Book) -> Pockets:
    """Return the codes of a van.

    A single code holds everything if it fits. Otherwise the fuses have separate codes, board by board. If
    those do not suffice, the priority is: contact; isolation steps, in ever shorter wording; the fuses of
    critical loads, of lights, of other loads, and without a load.
    """
    return book.once(_pockets)


def _pockets(book: Book) -> Pockets:
    steps = tuple(_steps(safety_of(book)))
    fuses = _fuses(book)
    variants = [tuple(variant[n] for variant in steps) for n in range(len(steps[0]))]
    for lines in variants[:2]:
        whole = _pocket(book, say("pocket.all"), [*lines, *_fuse_lines(fuses)])
        if _fits(whole):
            return Pockets((whole,), ())
    first, unsaid = _first(book, variants)
    others, left = _others(book, fuses)
    return Pockets((first, *others), (*unsaid, *(f"{fuse.board}: {fuse.text}" for fuse in left)))


def _first(book: Book, variants: Sequence[tuple[str, ...]]) -> tuple[Pocket, tuple[str, ...]]:
    """The code with the isolation steps, in the longest wording that fits."""
    title = say("pocket.safe")
    for lines in variants:
        if _fits(made := _pocket(book, title, lines)):
            return made, ()
    lines = variants[-1]
    for count in range(len(lines) - 1, -1, -1):
        if _fits(made := _pocket(book, title, lines[:count])):
            return made, lines[count:]
    return _pocket(book, title, ()), lines


def _others(book: Book, fuses: Sequence[_Fuse]) -> tuple[list[Pocket], list[_Fuse]]:
    """The codes with as many fuses as fit, and the fuses left out."""
    ranked = sorted(fuses, key=lambda fuse: fuse.rank)
    for count in range(len(ranked), 0, -1):
        shown = set(ranked[:count])
        left = [fuse for fuse in fuses if fuse not in shown]
        more = [say("pocket.more", count=len(left))] if left else []
        codes = _spread(book, [fuse for fuse in fuses if fuse in shown], more)
        if codes is not None and len(codes) < MOST_CODES:
            return codes, left
    return [], list(fuses)


def _spread(book: Book, fuses: Sequence[_Fuse], more: list[str]) -> list[Pocket] | None:
    """Fill one code after another; None if the text of a single fuse is too long for a code."""
    codes: list[Pocket] = []
    group: list[_Fuse] = []
    for fuse in fuses:
        if group and not _fits(_fuse_code(book, [*group, fuse], more)):
            codes.append(_fuse_code(book, group, more))
            group = []
        group.append(fuse)
    codes.append(_fuse_code(book, group, more))
    return codes if all(map(_fits, codes)) else None


def _fuse_code(book: Book, fuses: Sequence[_Fuse], more: list[str]) -> Pocket:
    made = _pocket(book, say("pocket.fuses"), [*_fuse_lines(fuses), *more])
    boards = enumerated(dict.fromkeys(fuse.board for fuse in fuses))
    return replace(made, title=say("pocket.fuses_of", boards=boards))


def _pocket(book: Book, title: str, lines: Sequence[str]) -> Pocket:
    shop = book.contact
    name = clean(book.system.van.name).strip()
    found = [say("frame.documented")] if book.system.documented else []
    note = [f"{f'{name}, {book.mark}' if book.mark else name}. {title}", *found, *lines]
    fields = ["BEGIN:VCARD", "VERSION:4.0", f"FN:{_escape(shop.name)}"]
    fields += [f"TEL:{_escape(shop.phone)}"] if shop.phone else []
    fields += [f"EMAIL:{_escape(shop.email)}"] if shop.email and not shop.phone else []
    fields += [f"NOTE:{_escape(chr(10).join(note))}", "END:VCARD"]
    return Pocket(title, tuple(note), "\r\n".join(fields) + "\r\n")


def _escape(text: str) -> str:
    """Escape a text value of a vCard (RFC 6350, section 3.4)."""
    for sign in ("\\", ",", ";"):
        text = text.replace(sign, f"\\{sign}")
    return text.replace("\n", "\\n")


def _fits(pocket: Pocket) -> bool:
    return len(pocket.text.encode()) <= LARGEST_BYTES


def _steps(safety: Safety) -> Iterator[tuple[str, str, str]]:
    """Yield each isolation step in three wordings, the longest first."""
    yield (say("pocket.out"),) * 3
    for step in safety.steps:
        yield _step(step)
    if not safety.disconnects_a_battery:
        yield (say("pocket.no_switch"),) * 3
    if safety.last:
        origins = [fed.by for fed in safety.last if fed.pieces]
        live = say("pocket.live", origins=enumerated(origins))
        yield live, live, say("pocket.live_short")


def _step(step: SafeStep) -> tuple[str, str, str]:
    names = enumerated(step.names)
    plain = say(f"pocket.{step.act}", names=names, where=step.where.label if step.where else "")
    full = (
        f"{plain}. {clean(step.where.access)}"
        if step.act == "isolator" and step.where and step.where.access
        else plain
    )
    return full, plain, _shortened(plain)


def _shortened(text: str, most: int = 48) -> str:
    return text if len(text) <= most else f"{text[: most - 1].rstrip()}…"


def _fuses(book: Book) -> list[_Fuse]:
    found = []
    boards = list(book.pieces(eq.FuseBoard))
    fuses = [fuse for fuse in book.network.fuses.values() if fuse.owner in boards]
    # Boards with fuses that an owner may replace come first.
    fuses.sort(key=lambda fuse: (fuse.family not in BLADES, boards.index(fuse.owner), fuse.position))
    for number, fuse in enumerate(fuses):
        rating = f"{book.sizing.fuses[fuse.id].rating_a:g}A"
        served = _served(book, fuse)
        rank = (_importance(book, fuse), number)
        found.append(_Fuse(book.name(fuse.owner), f"{fuse.position} {served} {rating}", rank))
    return found


def _served(book: Book, fuse: FuseLink) -> str:
    served = book.served(fuse)
    if len(served) > 1:
        return say("more", first=served[0], count=len(served) - 1)
    return served[0] if served else say("fuse.nothing")


def _importance(book: Book, fuse: FuseLink) -> int:
    circuits = [
        circuit
        for circuit in book.system.circuits
        if (circuit.fuse.board, circuit.fuse.position) == (fuse.owner, fuse.position)
    ]
    loads = [book.system.loads[load] for circuit in circuits for load in circuit.loads]
    return min((IMPORTANCE.index(load.importance) for load in loads), default=len(IMPORTANCE))


def _fuse_lines(fuses: Sequence[_Fuse]) -> list[str]:
    lines: list[str] = []
    for board in dict.fromkeys(fuse.board for fuse in fuses):
        lines.append(f"{board}:")
        lines += [fuse.text for fuse in fuses if fuse.board == board]
    return lines
