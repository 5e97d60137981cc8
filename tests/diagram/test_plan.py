"""The van from above."""

import random
import re
from itertools import combinations

import pytest

from vandoc.pages.diagram.plan import WIDTH, PlanMark, plan_text, plan_view
from vandoc.pages.diagram.svg import text_width

SPOTS = [
    PlanMark("seat", "under the driver's seat", 1.9, 0.4),
    PlanMark("kitchen", "behind the drawers", 3.4, 1.8),
    PlanMark("roof", "on the roof", 4.0, 1.0, outside=True),
]


def centre(item):
    if "cx" in item.attrib:
        return float(item.attrib["cx"]), float(item.attrib["cy"])
    half = float(item.attrib["width"]) / 2
    return float(item.attrib["x"]) + half, float(item.attrib["y"]) + half


def label_boxes(drawing):
    """Return the estimated boxes of the labels."""
    boxes = []
    for text in [*drawing.all("label"), *drawing.all("wanted")]:
        if not text.tag.endswith("text"):
            continue
        size = float(text.attrib["font-size"])
        bold = text.get("font-weight") == "bold"
        rows = list(text) or [text]
        width = max(text_width(row.text, size, bold) for row in rows)
        x, y = float(rows[0].attrib["x"]), float(rows[0].attrib["y"])
        x0 = x - width if text.attrib["text-anchor"] == "end" else x
        boxes.append((x0, y - size, x0 + width, float(rows[-1].attrib["y"]) + 0.25 * size))
    return boxes


def test_each_place_is_a_dot_and_a_label_and_a_sentence(read) -> None:
    drawing = read(plan_view("map", 5.9, 2.0, "right", SPOTS, ["kitchen"]))
    assert len(drawing.all("place")) == 3
    assert len(drawing.all("place", "sought")) == 1
    assert len(drawing.all("place", "outside")) == 1
    text = drawing.words()
    for spot in SPOTS:
        assert all(word in text for word in spot.label.split())
        assert sum(spot.label in line for line in plan_text(5.9, 2.0, SPOTS)) == 1


def test_only_the_sought_is_named_when_labels_are_off(read) -> None:
    drawing = read(plan_view("map", 5.9, 2.0, "left", SPOTS, ["seat"], labels=False))
    assert "seat" in drawing.words()
    assert "roof" not in drawing.words()
    assert len(drawing.all("leader")) == 1


def test_the_side_of_the_driver_decides_left_and_right(read) -> None:
    left = read(plan_view("map", 5.9, 2.0, "left", SPOTS[:1]))
    right = read(plan_view("map", 5.9, 2.0, "right", SPOTS[:1]))
    (x_left, y_left), (x_right, y_right) = (centre(one.all("place")[0]) for one in (left, right))
    assert x_left < WIDTH / 2 < x_right
    assert x_left + x_right == pytest.approx(WIDTH, abs=0.05)
    assert y_left == y_right
    headings = [one.words(one.all("heading")[0]) for one in (left, right)]
    assert [heading.split()[0] for heading in headings] == ["driver's", "passenger's"]


def test_places_keep_their_order_along_the_van(read) -> None:
    spots = [PlanMark(f"p{n}", f"place {n}", 0.5 * n, 0.2) for n in range(11)]
    drawing = read(plan_view("map", 5.9, 2.0, "left", spots))
    dots = {dot[0].text: centre(dot)[1] for dot in drawing.all("place")}
    heights = [dots[spot.label] for spot in spots]
    assert heights == sorted(heights)


@pytest.mark.parametrize("seed", range(12))
def test_no_label_lies_on_another_or_on_the_van_or_outside(read, seed: int) -> None:
    source = random.Random(seed)
    words = [
        "under",
        "behind",
        "beside",
        "the",
        "driver's",
        "seat",
        "kitchen",
        "drawers",
        "wardrobe",
        "rear",
        "locker",
        "ceiling",
        "bed",
    ]
    spots = [
        PlanMark(
            f"p{n}",
            " ".join(source.choices(words, k=source.randint(1, 9))),
            source.uniform(0, 6),
            source.uniform(0, 2),
        )
        for n in range(source.randint(1, 18))
    ]
    drawing = read(plan_view("map", 6.0, 2.0, "right", spots, ["p0"]))
    height = float(drawing.root.attrib["height"])
    boxes = label_boxes(drawing)
    assert len(boxes) == len(spots)
    for x0, y0, x1, y1 in boxes:
        assert x0 >= -1
        assert x1 <= WIDTH + 1
        assert y0 >= 0
        assert y1 <= height
        assert x1 <= 108 or x0 >= WIDTH - 108
    for one, other in combinations(boxes, 2):
        assert one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] + 1 or other[3] <= one[1] + 1
    dots = [centre(dot) for dot in drawing.all("place")]
    for (xa, ya), (xb, yb) in combinations(dots, 2):
        assert ((xa - xb) ** 2 + (ya - yb) ** 2) ** 0.5 > 8


@pytest.mark.parametrize("seed", range(12))
def test_leader_lines_do_not_cross(read, seed: int) -> None:
    source = random.Random(seed)
    spots = [
        PlanMark(f"p{n}", f"place {n}", source.uniform(2, 2 + seed / 3), source.uniform(0, 2))
        for n in range(source.randint(2, 14))
    ]
    drawing = read(plan_view("map", 6.0, 2.0, "left", spots))
    lines = []
    for leader in drawing.all("leader"):
        x0, y0, x1, y1, _ = (float(n) for n in re.findall(r"-?[\d.]+", leader.attrib["d"]))
        lines.append(((x0, y0), (x1, y1)))

    def side(p, q, r) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    for (a, b), (c, d) in combinations(lines, 2):
        assert not (side(a, b, c) * side(a, b, d) < -1e-6 and side(c, d, a) * side(c, d, b) < -1e-6)


def test_the_sentence_says_distance_and_side() -> None:
    lines = plan_text(5.9, 2.0, SPOTS, ["roof"])
    assert lines[0] == "on the roof: 4.0 m from the front, centre, outside the living area"
    assert lines[1] == "under the driver's seat: 1.9 m from the front, driver's side"
    assert lines[2] == "behind the drawers: 3.4 m from the front, passenger's side"


def test_hostile_labels_stay_text(read, hostile: str) -> None:
    drawing = read(plan_view("m ap\"<'", 5.9, 2.0, "left", [PlanMark("x", hostile, 1, 1), *SPOTS], ["x"]))
    assert len(drawing.all("place")) == 4


def test_the_same_places_give_the_same_bytes() -> None:
    assert plan_view("m", 5.9, 2.0, "left", SPOTS) == plan_view("m", 5.9, 2.0, "left", SPOTS[::-1])


@pytest.mark.parametrize(("length", "width"), [(0, 2), (5, -1), (float("nan"), 2), (float("inf"), 2)])
def test_a_van_without_size_is_refused(length: float, width: float) -> None:
    with pytest.raises(ValueError, match="longer and wider"):
        plan_view("m", length, width, "left", SPOTS)


def test_an_unknown_place_is_refused() -> None:
    with pytest.raises(ValueError, match="not a place in this plan: attic"):
        plan_view("m", 5, 2, "left", SPOTS, ["attic"])
