"""Colours against WCAG 2.2, and the files that the look is made of."""

import re
from pathlib import Path

import pytest

import vandoc

THEME = Path(vandoc.__file__).parent / "pages/manual/theme"
CSS = (THEME / "assets/vandoc.css").read_text()


def luminance(colour: str) -> float:
    """Relative luminance of "#rrggbb", 0 to 1 (WCAG 2.2, definition of relative luminance)."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two "#rrggbb" colours, 1 to 21 (WCAG 2.2, definition of contrast ratio)."""
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def palettes() -> list[dict[str, str]]:
    """The colours of each block of the style sheet that sets --paper: day, night, night by the button."""
    blocks = re.findall(r"\{([^{}]*--paper:[^{}]*)\}", CSS)
    return [dict(re.findall(r"--([\w-]+):\s*(#[0-9a-f]{6})", block)) for block in blocks]


def test_contrast_formula_matches_wcag() -> None:
    # W3C, WCAG 2.2: black on white is 21:1; #767676 is the lightest grey to reach 4.5:1 on white.
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") >= 4.5 > contrast("#777777", "#ffffff")


@pytest.mark.parametrize("palette", palettes(), ids=["day", "night", "night-button"])
def test_text_has_enhanced_contrast(palette: dict[str, str]) -> None:
    # WCAG 2.2, 1.4.6 Contrast (Enhanced): 7:1; 1.4.11 Non-text Contrast: 3:1.
    for ground in ("paper", "tint"):
        for text in ("ink", "muted", "accent"):
            assert contrast(palette[text], palette[ground]) >= 7, (text, ground)
    for word in ("danger", "warning", "caution", "notice"):
        assert contrast(palette[word], palette[f"{word}-text"]) >= 7, word
    assert contrast(palette["edge"], palette["paper"]) >= 3


def test_the_button_gives_the_same_night_as_the_readers_setting() -> None:
    _, night, button = palettes()
    assert night == button


@pytest.mark.parametrize("palette", palettes()[1:], ids=["night", "night-button"])
def test_night_has_no_blue_white(palette: dict[str, str]) -> None:
    for name in ("paper", "tint", "ink", "muted", "accent"):
        red, _, blue = (int(palette[name][i : i + 2], 16) for i in (1, 3, 5))
        assert red > blue, name
    assert luminance(palette["ink"]) < 0.6


def test_theme_loads_nothing_from_another_host() -> None:
    names = {"http://www.w3.org/2000/svg"}
    for path in THEME.rglob("*"):
        if path.suffix in {".html", ".css", ".js", ".svg"}:
            found = set(re.findall(r"https?://[^\s\"'<>)]+", path.read_text()))
            assert found <= names, path


def test_fonts_are_woff2_and_carry_their_licence() -> None:
    fonts = list((THEME / "assets/fonts").iterdir())
    assert len(fonts) == 4
    assert all(font.read_bytes()[:4] == b"wOF2" for font in fonts)  # W3C, WOFF 2.0: signature
    licence = (THEME / "assets/licences/atkinson-hyperlegible.txt").read_text()
    assert "SIL Open Font License, Version 1.1" in licence
    for name in re.findall(r'url\("([^"]+)"\)', CSS):
        assert (THEME / "assets" / name).is_file()
