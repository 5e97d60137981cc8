"""Safety signs after ISO 7010, each drawn for vandoc in a box of 100 by 100.

Shape, colours and proportions follow ISO 3864-1 (from memory): a warning is a black symbol on a yellow
triangle with a black band, an instruction a white symbol on a blue disc. Text always accompanies a sign.
"""

from collections.abc import Callable
from xml.etree.ElementTree import Element

from vandoc.pages.diagram.svg import element, path, write

YELLOW, BLUE, BLACK, WHITE = "#f9b800", "#005387", "#1d1a16", "#ffffff"


def _triangle(*inner: Element) -> list[Element]:
    return [
        path(
            "M",
            50,
            6,
            "L",
            97,
            88,
            "H",
            3,
            "Z",
            fill=BLACK,
            stroke=BLACK,
            stroke_width=5,
            stroke_linejoin="round",
        ),
        path("M", 50, 17, "L", 87.5, 82, "H", 12.5, "Z", fill=YELLOW),
        *inner,
    ]


def _disc(*inner: Element) -> list[Element]:
    return [element("circle", cx=50, cy=50, r=47, fill=BLUE), *inner]


def _exclamation() -> list[Element]:
    bar = path("M", 45, 38, "Q", 50, 34, 55, 38, "L", 52.6, 64, "H", 47.4, "Z", fill=BLACK)
    return _triangle(bar, element("circle", cx=50, cy=72.5, r=4.6, fill=BLACK))


def _electricity() -> list[Element]:
    bolt = path(
        "M",
        53,
        32,
        "L",
        41,
        58,
        "L",
        49.5,
        55.5,
        "L",
        46.5,
        71,
        "L",
        43,
        69,
        "L",
        47.5,
        79.5,
        "L",
        55.5,
        70.5,
    )
    bolt.set("d", f"{bolt.get('d')} L 51.5 71.5 L 58 48.5 L 50 51.5 L 58 32 Z")
    bolt.set("fill", BLACK)
    return _triangle(bolt)


def _battery() -> list[Element]:
    box = path("M", 30, 56, "H", 70, "V", 78, "H", 30, "Z", fill=BLACK)
    posts = path(
        "M", 35, 51, "h", 9, "v", 5, "h", -9, "Z", "M", 56, 51, "h", 9, "v", 5, "h", -9, "Z", fill=BLACK
    )
    signs = path(
        "M", 36, 67, "h", 8, "M", 56, 67, "h", 8, "m", -4, -4, "v", 8, stroke=YELLOW, stroke_width=2.4
    )
    gas = [
        element("circle", cx=x, cy=y, r=r, fill=BLACK)
        for x, y, r in ((50, 45, 2.6), (46, 38, 2.2), (53, 32, 1.8))
    ]
    return _triangle(box, posts, signs, *gas)


def _booklet() -> list[Element]:
    pages = path(
        *("M", 50, 32, "Q", 36, 22, 18, 27, "V", 70, "Q", 36, 65, 50, 75, "Q", 64, 65, 82, 70, "V", 27),
        *("Q", 64, 22, 50, 32, "Z"),
        fill=WHITE,
    )
    lines: list[str | float] = ["M", 50, 34, "V", 72]
    for y in (37, 46, 55):
        lines += ["M", 25, y, "Q", 35, y - 3, 44, y + 2, "M", 56, y + 2, "Q", 65, y - 3, 75, y]
    return _disc(pages, path(*lines, stroke=BLUE, stroke_width=3, stroke_linecap="round"))


def _disconnect() -> list[Element]:
    lead: dict[str, str | float] = {"stroke": WHITE, "stroke_width": 7.0, "stroke_linecap": "round"}
    dots = [element("circle", cx=x, cy=58, r=6, fill=WHITE) for x in (33, 67)]
    return _disc(
        path("M", 12, 58, "H", 30, "M", 70, 58, "H", 88, "M", 34, 56, "L", 60, 28, **lead),
        *dots,
    )


SIGNS: dict[str, Callable[[], list[Element]]] = {
    "W001": _exclamation,
    "W012": _electricity,
    "W026": _battery,
    "M002": _booklet,
    "M021": _disconnect,
}


def sign(name: str) -> bytes:
    """Return a sign as SVG, by its number in ISO 7010.

    Raises
    ------
    KeyError
        If the sign does not exist.
    """
    root = element(
        "svg",
        *SIGNS[name](),
        xmlns="http://www.w3.org/2000/svg",
        viewBox="0 0 100 100",
        width=100,
        height=100,
        fill="none",
    )
    return write(root).encode()
