"""A fuse board as its owner sees it."""

import pytest

from vandoc.pages.diagram.board import Cell, board_text, fuse_board

CELLS = [
    Cell(1, "10 A", "red", "#c8281e", "water pump"),
    Cell(2, "7.5 A", "brown", "#6b4423", "lights"),
    Cell(5, "5 A", "light brown", "#c9a36a", "sockets"),
]


def rect(group):
    box = next(item for item in group if item.tag.endswith("rect"))
    return {name: float(box.attrib[name]) for name in ("x", "y", "width", "height")}


@pytest.mark.parametrize(("rows", "columns"), [(1, 1), (1, 12), (2, 6), (6, 2), (10, 12), (40, 3)])
def test_positions_count_along_the_rows(read, rows: int, columns: int) -> None:
    drawing = read(fuse_board("b", "board", rows, columns, [], []))
    groups = drawing.all("position")
    assert len(groups) == rows * columns
    numbers = [drawing.words(drawing_number(group)) for group in groups]
    assert numbers == [str(n) for n in range(1, rows * columns + 1)]
    boxes = [rect(group) for group in groups]
    for n, box in enumerate(boxes):
        row, column = divmod(n, columns)
        assert box["x"] == pytest.approx(boxes[0]["x"] + column * box["width"], abs=0.06)
        assert box["y"] == pytest.approx(boxes[0]["y"] + row * box["height"], abs=0.06)


def drawing_number(group):
    return next(item for item in group.iter() if item.get("class") == "number")


def test_a_board_of_seven_columns_fits_a_phone(read) -> None:
    assert float(read(fuse_board("b", "board", 2, 7, CELLS)).root.attrib["width"]) <= 320


def test_the_sought_position_is_filled_and_said_below(read) -> None:
    drawing = read(fuse_board("b", "board", 2, 6, CELLS, [2]))
    (sought,) = drawing.all("position", "sought")
    assert "accent" in sought.find("{http://www.w3.org/2000/svg}rect").attrib["fill"]
    (note,) = drawing.all("wanted")
    assert drawing.words(note) == "2: 7.5 A, brown, lights"


def test_a_colour_is_a_swatch_beside_its_word(read) -> None:
    drawing = read(fuse_board("b", "board", 1, 5, CELLS))
    assert [swatch[0].attrib["fill"] for swatch in drawing.all("swatch")] == ["#c8281e", "#6b4423", "#c9a36a"]
    assert "red" in drawing.words(drawing.all("position")[0])
    assert "light" in drawing.words(drawing.all("position")[4])


def test_positions_without_a_fuse_say_so(read) -> None:
    drawing = read(fuse_board("b", "board", 2, 3, CELLS))
    assert len(drawing.all("position", "empty")) == 3
    assert board_text(2, 3, CELLS)[-1] == "3, 4, 6: no fuse"


def test_the_text_tells_the_same_with_the_sought_first() -> None:
    assert board_text(1, 8, CELLS, [5]) == [
        "5: 5 A, light brown, sockets",
        "1: 10 A, red, water pump",
        "2: 7.5 A, brown, lights",
        "3, 4, 6 to 8: no fuse",
    ]


def test_hostile_text_stays_text(read, hostile: str) -> None:
    cells = [Cell(1, hostile, hostile, "#ffffff", hostile), *CELLS[1:]]
    read(fuse_board(hostile, hostile, 2, 2 + 1, cells, [1]))
    read(fuse_board(hostile, hostile, 1, 12, cells, [1]))


def test_the_same_cells_give_the_same_bytes() -> None:
    assert fuse_board("b", "x", 2, 6, CELLS, [1]) == fuse_board("b", "x", 2, 6, CELLS[::-1], [1])


@pytest.mark.parametrize(
    ("rows", "columns", "cells", "sought", "message"),
    [
        (0, 3, [], [], "at least one row"),
        (1, 3, CELLS, [], "not a position of a board of 1 by 3: 5"),
        (2, 6, [*CELLS, Cell(1, "3 A")], [], "position 1 is given twice"),
        (2, 6, CELLS, [13], "not a position"),
    ],
)
def test_a_wrong_board_is_refused(rows, columns, cells, sought, message) -> None:
    with pytest.raises(ValueError, match=message):
        fuse_board("b", "x", rows, columns, cells, sought)
