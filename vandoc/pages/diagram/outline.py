"""The outline of a panel van from above, front up: our own drawing of no particular model."""

from typing import Literal
from xml.etree.ElementTree import Element

from vandoc.pages.diagram.svg import HAIRLINE, INK, PAPER, TINT, element, path

Driver = Literal["left", "right"]


def van_outline(left: float, top: float, width: float, length: float, driver: Driver) -> Element:
    """Return the outline: bonnet, windscreen, two seats with the steering wheel, side walls, rear doors."""
    right, rear, mid = left + width, top + length, left + width / 2
    nose = top + 0.42 * width  # where the bonnet ends
    glass = top + 0.62 * width  # where the roof begins
    body = path(
        *("M", left + 0.03 * width, rear, "L", left, rear - 0.06 * width, "V", nose),
        *("C", left, top + 0.14 * width, left + 0.1 * width, top + 0.03 * width, left + 0.3 * width, top),
        *("Q", mid, top - 0.02 * width, right - 0.3 * width, top),
        *("C", right - 0.1 * width, top + 0.03 * width, right, top + 0.14 * width, right, nose),
        *("V", rear - 0.06 * width, "L", right - 0.03 * width, rear, "Z"),
        fill=PAPER,
        stroke=INK,
        stroke_width=1.8,
        stroke_linejoin="round",
    )
    inner = 0.07 * width
    windscreen = path(
        *("M", left + 0.04 * width, nose),
        *("Q", mid, nose - 0.2 * width, right - 0.04 * width, nose),
        *("L", right - inner, glass, "Q", mid, glass - 0.14 * width, left + inner, glass, "Z"),
        fill=TINT,
        stroke=INK,
        stroke_width=1.2,
        stroke_linejoin="round",
    )
    doors = path(
        *("M", mid, rear, "V", rear - 0.07 * width),
        *("M", left + inner, rear - 0.07 * width, "H", right - inner),
        stroke=INK,
        stroke_width=1.2,
    )
    mirrors = [
        path("M", x, nose, "l", 0.07 * out, -0.02 * width, "v", 0.09 * width, stroke=INK, stroke_width=1.2)
        for x, out in ((left, -width), (right, width))
    ]
    seat_top = glass + 0.16 * width
    seats = [_seat(mid + offset * width, seat_top, 0.3 * width) for offset in (-0.24, 0.24)]
    wheel_x = mid + (-0.24 if driver == "left" else 0.24) * width
    wheel = element(
        "ellipse",
        cx=wheel_x,
        cy=seat_top - 0.055 * width,
        rx=0.1 * width,
        ry=0.035 * width,
        stroke=INK,
        stroke_width=1.4,
    )
    return element("g", body, windscreen, doors, *mirrors, *seats, wheel, class_="van")


def _seat(middle: float, top: float, size: float) -> Element:
    return element(
        "g",
        element(
            "rect",
            x=middle - size / 2,
            y=top,
            width=size,
            height=size * 0.92,
            rx=size * 0.18,
            stroke=HAIRLINE,
        ),
        element(
            "rect",
            x=middle - size / 2,
            y=top + size * 0.74,
            width=size,
            height=size * 0.26,
            rx=size * 0.12,
            stroke=HAIRLINE,
        ),
        stroke_width=1.2,
    )
