"""The van seen from above, with its places: the picture that stands wherever a place is named."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise
from xml.etree.ElementTree import Element

from vandoc.diagram.outline import Driver, van_outline
from vandoc.diagram.svg import (
    ACCENT,
    HAIRLINE,
    INK,
    PAPER,
    clean,
    document,
    element,
    path,
    text_block,
    wrap,
)
from vandoc.diagram.words import rows, say

WIDTH = 320.0  # [px] of the whole drawing: a phone's width
VAN_WIDTH = 104.0  # [px]
GAP = 10.0  # [px] between the van and its labels
TOP = 40.0  # [px] above the front bumper: the column headings
BOTTOM = 26.0  # [px]
SIZE = 13.0  # [px] of a label
LINE = SIZE * 1.18
LABEL_LINES = 3
DOT = 5.5  # [px] radius


@dataclass(frozen=True)
class Spot:
    """A place in the van.

    Parameters
    ----------
    id : str
        Its name in the van file.
    label : str
        Where it is, in the owner's words.
    back_m : float
        Distance behind the front bumper. [m]
    across_m : float
        Distance from the driver's side wall. [m]
    outside : bool
        Outside the living space: on the roof, under the floor, on a wall outside.
    """

    id: str
    label: str
    back_m: float
    across_m: float
    outside: bool = False


@dataclass
class _Placed:
    """A spot with its dot and the label beside the van; coordinates in px of the drawing."""

    spot: Spot
    x: float
    y: float
    left: bool
    lines: list[str]
    middle: float = 0.0

    @property
    def height(self) -> float:
        return len(self.lines) * LINE + 7.0


def plan_view(
    ident: str,
    length_m: float,
    width_m: float,
    driver: Driver,
    spots: Sequence[Spot],
    sought: Collection[str] = (),
    labels: bool = True,
) -> str:
    """Return the SVG of the van from above, front up.

    Parameters
    ----------
    length_m, width_m : float
        Of the van, above 0. [m]
    driver : {"left", "right"}
        The side of the steering wheel.
    spots : sequence of Spot
        The places drawn as dots, in any order.
    sought : collection of str
        Ids of the places looked for: filled, with a leader line and the words in bold.
    labels : bool
        Whether the places not looked for are named too.

    Raises
    ------
    ValueError
        If a length is not positive, or `sought` names a place that is not among `spots`.
    """
    _check(length_m, width_m, spots, sought)
    van_left = (WIDTH - VAN_WIDTH) / 2
    scale = VAN_WIDTH / width_m
    van_length = min(max(length_m * scale, 1.6 * VAN_WIDTH), 4.5 * VAN_WIDTH)
    placed = []
    for spot in sorted(spots, key=lambda spot: spot.id):
        from_driver = min(max(spot.across_m / width_m, -0.06), 1.06) * VAN_WIDTH
        x = van_left + (from_driver if driver == "left" else VAN_WIDTH - from_driver)
        y = TOP + min(max(spot.back_m / length_m, -0.02), 1.02) * van_length
        wanted = spot.id in sought
        named = labels or wanted
        lines = wrap(spot.label, SIZE, van_left - GAP - 6, LABEL_LINES, bold=wanted) if named else []
        placed.append(_Placed(spot, x, y, x < WIDTH / 2, lines))
    _spread_dots(placed)
    _choose_sides(placed)
    used = van_length
    for side in (True, False):
        used = max(used, _stack([one for one in placed if one.left == side and one.lines], van_length))
    if used > van_length:  # more words than van: the van stands in the middle of them
        shift = (used - van_length) / 2
        for one in placed:
            one.y += shift
    else:
        shift = 0.0
    for side in (True, False):
        _untangle([one for one in placed if one.left == side and one.lines], _edge(side))
    height = TOP + used + BOTTOM
    return document(
        ident,
        say("plan.title"),
        "; ".join(plan_text(length_m, width_m, spots, sought)) or say("plan.none"),
        WIDTH,
        height,
        van_outline(van_left, TOP + shift, VAN_WIDTH, van_length, driver),
        *_headings(driver),
        *_marks(placed, sought),
    )


def plan_text(
    length_m: float, width_m: float, spots: Sequence[Spot], sought: Collection[str] = ()
) -> list[str]:
    """Return the same places as sentences, from the front to the rear; the places looked for come first."""
    _check(length_m, width_m, spots, sought)
    ordered = sorted(spots, key=lambda spot: (spot.id not in sought, spot.back_m, spot.across_m, spot.id))
    return [_sentence(spot, width_m) for spot in ordered]


def _sentence(spot: Spot, width_m: float) -> str:
    share = spot.across_m / width_m
    side = "driver" if share < 0.4 else "passenger" if share > 0.6 else "middle"
    return say(
        "plan.place_outside" if spot.outside else "plan.place",
        label=clean(spot.label),
        distance=f"{max(spot.back_m, 0.0):.1f}",
        side=say(f"plan.side_{side}"),
    )


def _check(length_m: float, width_m: float, spots: Sequence[Spot], sought: Collection[str]) -> None:
    if not (0 < length_m < float("inf") and 0 < width_m < float("inf")):
        raise ValueError(f"a van is longer and wider than 0 m, got {length_m!r} by {width_m!r}")
    unknown = set(sought) - {spot.id for spot in spots}
    if unknown:
        raise ValueError(f"not a place in this plan: {', '.join(sorted(unknown))}")


def _edge(left: bool) -> float:
    """Return where the leader lines meet the labels of one side. [px]"""
    return (WIDTH - VAN_WIDTH) / 2 - GAP if left else (WIDTH + VAN_WIDTH) / 2 + GAP


def _spread_dots(placed: list[_Placed]) -> None:
    """Move dots that would hide each other apart, along the van."""
    for _ in range(40):
        moved = False
        for first, second in combinations(sorted(placed, key=lambda one: (one.y, one.x, one.spot.id)), 2):
            gap = 2.6 * DOT - ((first.x - second.x) ** 2 + (first.y - second.y) ** 2) ** 0.5
            if gap > 0.01:
                first.y -= gap / 2
                second.y += gap / 2
                moved = True
        if not moved:
            return


def _choose_sides(placed: list[_Placed]) -> None:
    """Give each label the nearer side; places near the middle go where there is more room."""
    named = [one for one in placed if one.lines]
    load = {True: 0.0, False: 0.0}
    middle = []
    for one in named:
        if abs(one.x - WIDTH / 2) > 0.12 * VAN_WIDTH:
            load[one.left] += one.height
        else:
            middle.append(one)
    for one in sorted(middle, key=lambda one: (one.y, one.spot.id)):
        one.left = load[True] <= load[False]
        load[one.left] += one.height


def _stack(side: list[_Placed], available: float) -> float:
    """Place the labels of one side, none upon another, near their dots; return the height used."""
    side.sort(key=lambda one: (one.y, one.x if one.left else -one.x, one.spot.id))
    needed = sum(one.height for one in side)
    room = max(available, needed)
    floor = TOP
    for one in side:
        one.middle = max(one.y, floor + one.height / 2)
        floor = one.middle + one.height / 2
    ceiling = TOP + room
    for one in reversed(side):
        one.middle = min(one.middle, ceiling - one.height / 2)
        ceiling = one.middle - one.height / 2
    return room


def _untangle(side: list[_Placed], edge: float) -> None:
    """Swap neighbouring labels until no two leader lines of a side cross."""
    for _ in range(len(side) ** 2):
        crossed = False
        side.sort(key=lambda one: one.middle)
        for upper, lower in pairwise(side):
            if _cross(upper, lower, edge):
                top = upper.middle - upper.height / 2
                lower.middle = top + lower.height / 2
                upper.middle = top + lower.height + upper.height / 2
                crossed = True
                break
        if not crossed:
            return


def _cross(upper: _Placed, lower: _Placed, edge: float) -> bool:
    """Return whether the leaders cross; both end on the vertical line x = `edge`, `upper` above `lower`."""
    near, far = sorted((upper, lower), key=lambda one: abs(one.x - edge))
    share = (near.x - edge) / (far.x - edge) if far.x != edge else 0.0
    far_at_near = far.middle + share * (far.y - far.middle)
    return (near.y > far_at_near) if near is upper else (near.y < far_at_near)


def _marks(placed: list[_Placed], sought: Collection[str]) -> list[Element]:
    lines, dots, words = [], [], []
    for one in sorted(placed, key=lambda one: (one.spot.id in sought, one.y, one.spot.id)):
        wanted = one.spot.id in sought
        if one.lines:
            edge = _edge(one.left)
            inward = 8.0 if one.left else -8.0
            lines.append(
                path(
                    *("M", one.x, one.y, "L", edge + inward, one.middle, "H", edge),
                    stroke=ACCENT if wanted else HAIRLINE,
                    stroke_width=1.6 if wanted else 1.0,
                    class_="leader wanted" if wanted else "leader",
                )
            )
            top = one.middle - len(one.lines) * LINE / 2 + SIZE * 0.86
            words.append(
                text_block(
                    edge - 4 if one.left else edge + 4,
                    top,
                    one.lines,
                    SIZE,
                    "end" if one.left else "start",
                    LINE / SIZE,
                    fill=ACCENT if wanted else INK,
                    font_weight="bold" if wanted else "normal",
                    class_="wanted" if wanted else "label",
                )
            )
        dots.append(_dot(one, wanted))
    return [*lines, *dots, *words]


def _dot(one: _Placed, wanted: bool) -> Element:
    fill = ACCENT if wanted else PAPER
    stroke = ACCENT if wanted else INK
    kind = "place sought" if wanted else "place"
    radius = DOT + 2.5 if wanted else DOT
    title = element("title", one.spot.label)
    if one.spot.outside:
        return element(
            "rect",
            title,
            x=one.x - radius * 0.85,
            y=one.y - radius * 0.85,
            width=radius * 1.7,
            height=radius * 1.7,
            transform=f"rotate(45 {one.x:.2f} {one.y:.2f})",
            fill=fill,
            stroke=stroke,
            stroke_width=1.5,
            class_=f"{kind} outside",
        )
    return element(
        "circle", title, cx=one.x, cy=one.y, r=radius, fill=fill, stroke=stroke, stroke_width=1.5, class_=kind
    )


def _headings(driver: Driver) -> list[Element]:
    left, right = rows("plan.driver"), rows("plan.passenger")
    if driver == "right":
        left, right = right, left
    middle = WIDTH / 2
    quiet: dict[str, str | float] = {"class_": "muted heading", "opacity": 0.8}
    return [
        text_block(_edge(True) - 4, 13, left, 12, "end", **quiet),
        text_block(_edge(False) + 4, 13, right, 12, "start", **quiet),
        text_block(middle, 13, [say("plan.front")], 12, "middle", **quiet),
        path("M", middle, 34, "V", 19, "M", middle - 4, 24, "L", middle, 19, "L", middle + 4, 24, stroke=INK),
    ]
