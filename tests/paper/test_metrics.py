"""How wide words are, held against what the library that sets them and poppler say of the same words."""

import pytest

from tests.paper.pdfs import words
from vandoc.paper.metrics import foreign, in_lines, shortened, width_mm
from vandoc.paper.pdf import FAMILY, to_pdf

SAID = ["fuse", "ceiling-lights", "AVAToWa", "12.5", "mm²", "Größe", "žluťoučký", "galley-board.12"]


@pytest.mark.parametrize(("weight", "bold"), [(400, False), (700, True)])
def test_a_word_is_as_wide_as_it_is_printed(weight, bold, tmp_path):
    style = f"p {{ font: {weight} 40pt {FAMILY}; font-kerning: none; font-variant-ligatures: none; }}"
    body = "".join(f"<p>{word}</p>" for word in SAID)
    html = f'<!doctype html><html lang="en"><title>x</title><style>{style}</style><body>{body}</body></html>'
    printed = [box for page in words(to_pdf(html, {}, "x"), tmp_path) for box in page]
    assert [box.text for box in printed] == SAID
    for box in printed:
        # 0.1 % is what Pango's steps of a 1024th of a point and poppler's six decimals leave.
        assert box.width == pytest.approx(width_mm(box.text, 40, bold), rel=1e-3)


def test_lines_are_no_wider_than_asked_and_lose_no_word():
    text = "Part of the way back to the battery. Do not undo it while anything is on, main-fuse-holder."
    for width in range(12, 80, 3):
        lines = in_lines(text, 9, width)
        assert lines is not None
        assert all(width_mm(line, 9) <= width for line in lines)
        assert "".join(lines).replace(" ", "") == text.replace(" ", "")


def test_a_word_that_is_too_wide_is_said_to_be():
    assert in_lines("w" * 60, 9, 30) is None
    shown = shortened("w" * 60, 9, 30)
    assert shown.endswith("w…")
    assert width_mm(shown, 9) <= 30


def test_letters_of_other_fonts_are_known():
    assert foreign("مضخة")
    assert not any(foreign(word) for word in SAID)
