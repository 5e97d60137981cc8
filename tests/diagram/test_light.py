"""The light on a device."""

import pytest

from vandoc.pages.diagram.light import light, light_text

PATTERNS = ["steady", "slow", "quick", "off", "display"]


@pytest.mark.parametrize("colour", ["red", "green", "amber", "yellow", "blue", "white", "none", "mauve"])
@pytest.mark.parametrize("pattern", PATTERNS)
def test_colour_and_pattern_are_named(read, colour: str, pattern: str) -> None:
    drawing = read(light("l", colour, pattern, "beside the switch"))
    told = drawing.words()
    if pattern not in ("display",) and colour != "none":
        assert f"{colour} light" in told
    for word in light_text(colour, pattern, "")[0].split(", "):
        assert word in told


@pytest.mark.parametrize(("pattern", "bars"), [("steady", 1), ("slow", 3), ("quick", 9), ("off", 0)])
def test_the_pattern_is_visible_without_movement(read, pattern: str, bars: int) -> None:
    drawing = read(light("l", "red", pattern, ""))
    (time,) = drawing.all("time")
    assert len([item for item in time if item.tag.endswith("rect")]) == bars


def test_only_blinking_lights_may_move(read) -> None:
    moving = {p: read(light("l", "red", p, "")).all(f"blink-{p}") for p in PATTERNS}
    assert {p for p, found in moving.items() if found} == {"slow", "quick"}


def test_an_unlit_light_has_no_rays_and_no_colour(read) -> None:
    for colour, pattern in (("red", "off"), ("none", "steady")):
        drawing = read(light("l", colour, pattern, ""))
        assert not drawing.all("lit")
        assert drawing.all("unlit")


def test_usual_colours_differ_and_other_words_are_shown_neutrally(read) -> None:
    def fill(colour: str) -> str:
        return read(light("l", colour, "steady", "")).all("lit")[0][0].attrib["fill"]

    usual = [fill(word) for word in ("red", "green", "amber", "yellow", "blue", "white")]
    assert len(set(usual)) == 6
    assert fill("mauve") == fill("#ff0000") == fill("url(x)") not in usual


def test_a_display_shows_its_words(read) -> None:
    drawing = read(light("l", "none", "display", "E05 battery too cold"))
    (screen,) = drawing.all("screen")
    assert drawing.words(screen) == "E05 battery too cold"
    assert not drawing.all("lamp")


def test_hostile_text_stays_text(read, hostile: str) -> None:
    for pattern in PATTERNS:
        read(light(hostile, hostile, pattern, hostile))


def test_an_unknown_pattern_is_refused() -> None:
    with pytest.raises(ValueError, match="not a pattern"):
        light("l", "red", "morse", "")  # type: ignore[arg-type]
