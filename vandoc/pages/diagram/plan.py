"""The plan of the van with its locations, shown wherever a location is named."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise
from math import dist
from xml.etree.ElementTree import Element

from vandoc.ground.measures import measured
from vandoc.pages.diagram.outline import Driver, van_outline
from vandoc.pages.diagram.spacing import apart, kept_within, spaced
from vandoc.pages.diagram.svg import (
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
from vandoc.pages.diagram.words import WORDS, say

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
class PlanMark:
    """A location in the van.

    Parameters
    ----------
    id : str
        Its name in the van file.
    label : str
        Description of the location, in the owner's words.
    back_m : float
        Distance behind the front bumper. [m]
    across_m : float
        Distance from the driver's side wall. [m]
    outside : bool
        Outside the living area: on the roof, under the floor, on an outside wall.
    """

    id: str
    label: str
    back_m: float
    across_m: float
    outside: bool = False


@dataclass
class _PlacedMark:
    """A location with its dot and the label beside the van; coordinates in px of the drawing."""

    spot: PlanMark
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
    spots: Sequence[PlanMark],
    sought: Collection[str] = (),
    labels: bool = True,
) -> str:
    """Return the SVG of the van from above, front up.

    Parameters
    ----------
    length_m, width_m : float
        Size of the van, above 0. [m]
    driver : {"left", "right"}
        The side of the steering wheel.
    spots : sequence of PlanMark
        The locations drawn as dots, in any order.
    sought : collection of str
        Ids of the locations to find: filled, with a leader line and a label in bold.
    labels : bool
        Whether the other locations are labelled too.

    Raises
    ------
    ValueError
        If a length is not positive, or `sought` names a location that is not among `spots`.
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
        placed.append(_PlacedMark(spot, x, y, x < WIDTH / 2, lines))
    _spread_dots(placed)
    _choose_sides(placed)
    sides = [[one for one in placed if one.left == left and one.lines] for left in (True, False)]
    used = max(van_length, *(sum(one.height for one in side) for side in sides))
    shift = (used - van_length) / 2  # if the labels are taller than the van, the van is centred beside them
    for one in placed:
        one.y += shift
    for side in sides:
        _untangle(side, TOP + used)
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
    length_m: float, width_m: float, spots: Sequence[PlanMark], sought: Collection[str] = ()
) -> list[str]:
    """Return the text version, a sentence for each location from front to rear; those to find come first."""
    _check(length_m, width_m, spots, sought)
    ordered = sorted(spots, key=lambda spot: (spot.id not in sought, spot.back_m, spot.across_m, spot.id))
    return [_sentence(spot, width_m) for spot in ordered]


def _sentence(spot: PlanMark, width_m: float) -> str:
    share = spot.across_m / width_m
    side = "driver" if share < 0.4 else "passenger" if share > 0.6 else "middle"
    return say(
        "plan.place_outside" if spot.outside else "plan.place",
        label=clean(spot.label),
        distance=_distance(max(spot.back_m, 0.0)),
        side=say(f"plan.side_{side}"),
    )


def _distance(metres: float) -> str:
    value, unit = measured(metres, "m")
    return f"{value:.1f} {unit}"


def _check(length_m: float, width_m: float, spots: Sequence[PlanMark], sought: Collection[str]) -> None:
    if not (0 < length_m < float("inf") and 0 < width_m < float("inf")):
        raise ValueError(f"a van is longer and wider than 0 m, got {length_m!r} by {width_m!r}")
    unknown = set(sought) - {spot.id for spot in spots}
    if unknown:
        raise ValueError(f"not a place in this plan: {', '.join(sorted(unknown))}")


def _edge(left: bool) -> float:
    """Return the x at which leader lines meet the labels of one side. [px]"""
    return (WIDTH - VAN_WIDTH) / 2 - GAP if left else (WIDTH + VAN_WIDTH) / 2 + GAP


def _spread_dots(placed: list[_PlacedMark]) -> None:
    """Separate overlapping dots along the van."""
    heights = apart([(one.x, one.y) for one in placed], 2.6 * DOT)
    for one, height in zip(placed, heights, strict=True):
        one.y = height


def _choose_sides(placed: list[_PlacedMark]) -> None:
    """Place each label on the nearer side; labels near the middle are divided to balance the columns.

    All locations labelled on the left are left of those labelled on the right, so that no leaders cross.
    """
    named = sorted((one for one in placed if one.lines), key=lambda one: (one.x, one.y, one.spot.id))
    free = [n for n in range(len(named) + 1) if _splits_near_middle(named, n)]

    def difference(count: int) -> float:
        return abs(sum(one.height for one in named[:count]) - sum(one.height for one in named[count:]))

    count = min(free, key=difference)
    for n, one in enumerate(named):
        one.left = n < count


def _splits_near_middle(named: list[_PlacedMark], count: int) -> bool:
    """Whether the first `count` labels can be on the left, with no dot far across the middle."""
    middle, band = WIDTH / 2, 0.12 * VAN_WIDTH
    return all(one.x <= middle + band for one in named[:count]) and all(
        one.x >= middle - band for one in named[count:]
    )


def _stack(side: list[_PlacedMark], end: float) -> float:
    """Place labels in order near their dots, without overlap; return the length of their leaders."""
    gaps = [(upper.height + lower.height) / 2 for upper, lower in pairwise(side)]
    lows = [TOP + one.height / 2 for one in side]
    highs = [end - one.height / 2 for one in side]
    middles = kept_within(spaced([one.y for one in side], gaps), gaps, lows, highs)
    for one, middle in zip(side, middles, strict=True):
        one.middle = middle
    return sum(dist((one.x, one.y), _leader_end(one)) for one in side)


def _untangle(side: list[_PlacedMark], end: float) -> None:
    """Order the labels of one side for the shortest leaders, which also prevents crossings."""
    side.sort(key=lambda one: (one.y, one.x if one.left else -one.x, one.spot.id))
    best = _stack(side, end)
    for _ in range(len(side)):
        improved = False
        for first, second in combinations(range(len(side)), 2):
            if not _cross(side[first], side[second]):
                continue
            side[first], side[second] = side[second], side[first]
            length = _stack(side, end)
            if length < best - 1e-6:
                best, improved = length, True
            else:
                side[first], side[second] = side[second], side[first]
                _stack(side, end)
        if not improved:
            return


def _leader_end(one: _PlacedMark) -> tuple[float, float]:
    """Return the end of the slanting part of a leader, just before the label."""
    return _edge(one.left) + (8.0 if one.left else -8.0), one.middle


def _cross(one: _PlacedMark, other: _PlacedMark) -> bool:
    """Return whether two leaders cross."""
    a, b, c, d = (one.x, one.y), _leader_end(one), (other.x, other.y), _leader_end(other)

    def side(p: tuple[float, float], q: tuple[float, float], r: tuple[float, float]) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0


def _marks(placed: list[_PlacedMark], sought: Collection[str]) -> list[Element]:
    lines, dots, words = [], [], []
    for one in sorted(placed, key=lambda one: (one.spot.id in sought, one.y, one.spot.id)):
        wanted = one.spot.id in sought
        if one.lines:
            edge = _edge(one.left)
            lines.append(
                path(
                    *("M", one.x, one.y, "L", *_leader_end(one), "H", edge),
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


def _dot(one: _PlacedMark, wanted: bool) -> Element:
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
    left, right = WORDS["plan.driver"], WORDS["plan.passenger"]
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
