"""The building blocks: text is cleaned and fitted, ids are unique."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vandoc.pages.diagram.svg import clean, element, identifier, number, text_width, wrap, write

# Advance widths of Helvetica in thousandths of its size: Adobe Core 14 metrics, Helvetica.afm, from memory.
HELVETICA = {
    **dict.fromkeys("abdeghnopqu0123456789", 556),
    **dict.fromkeys("ckszvxyJ", 500),
    **dict.fromkeys("ijl", 222),
    **dict.fromkeys("ft .,/", 278),
    "r": 333,
    "m": 833,
    "w": 722,
    "M": 833,
    "W": 944,
    "-": 333,
    "(": 333,
    ")": 333,
    **dict.fromkeys("ABEKPSVXY", 667),
    **dict.fromkeys("CDHNRU", 722),
    "F": 611,
    "L": 556,
    "T": 611,
    "Z": 611,
    "G": 778,
    "O": 778,
    "Q": 778,
    "I": 278,
}


@pytest.mark.parametrize(
    "text",
    [
        "under the driver's seat".replace("'", ""),
        "behind the kitchen drawers",
        "LiFePO4 12 V 200 Ah",
        "fuse of the ignition signal",
        "MAIN SWITCH",
        "16 mm 4.2 m",
    ],
)
def test_text_width_is_a_little_generous_against_helvetica(text: str) -> None:
    measured = sum(HELVETICA[char] for char in text) / 1000
    assert measured <= text_width(text, 1.0) <= 1.25 * measured


@given(st.text(max_size=200), st.floats(8, 30), st.floats(20, 300), st.integers(1, 5))
def test_wrapped_lines_fit_and_keep_the_words(text: str, size: float, width: float, most: int) -> None:
    lines = wrap(text, size, width, most)
    assert len(lines) <= most
    for line in lines:
        assert text_width(line, size) <= width or len(line.rstrip("…")) <= 1
    if lines and not lines[-1].endswith("…"):
        assert "".join("".join(lines).split()) == "".join(clean(text).split())


def test_wrap_breaks_at_spaces_and_hyphens_first() -> None:
    assert wrap("blue-green fuse", 10, 40, 3) == ["blue-", "green", "fuse"]
    assert wrap("", 10, 40, 3) == []


@given(st.text(), st.text())
def test_different_texts_have_different_identifiers(first: str, second: str) -> None:
    assert (identifier(first) == identifier(second)) == (first == second)


@given(st.text())
def test_any_text_can_be_written_and_is_ascii(text: str) -> None:
    from xml.etree import ElementTree as ET

    written = write(element("text", text))
    assert written.isascii()
    assert (ET.fromstring(written).text or "") == clean(text)


@given(st.floats(-1e6, 1e6))
def test_numbers_are_short_and_close(value: float) -> None:
    assert abs(float(number(value)) - value) <= 0.00501
    assert number(value) != "-0"
