"""Survey sheet to fill in at a van before the design: measurements and notes, with a grid for the plan."""

from vandoc.ground.measures import M_PER_FT, measure
from vandoc.ground.messages import Messages
from vandoc.paper.pdf import FAMILY, to_pdf
from vandoc.paper.words import environment

WORDS = Messages("vandoc.paper", "survey")
SCALE = 35
SMALL_M, LARGE_M = 0.1, 0.5  # squares of the grid
SMALL_FT, LARGE_FT = 0.5, 2.0
ACROSS_M, BACK_M = 5.0, 7.5  # size of the grid: the longest van on A4 at this scale, with room for notes
ACROSS_FT, BACK_FT = 16.0, 24.0


def survey() -> bytes:
    """Return the survey sheet as PDF, A4.

    Raises
    ------
    VandocError
        If the PDF library is missing.
    """
    html = environment().get_template("survey.html.j2").render(words=WORDS.tree, family=FAMILY, grid=_grid())
    return to_pdf(html, {}, "survey")


def _grid() -> dict[str, object]:
    """Return the lines of the grid by distance from its corner, and the marks beside it. [mm]"""
    unit, mm = measure("m"), 1000 / SCALE
    small, large, across, back = SMALL_M, LARGE_M, ACROSS_M, BACK_M
    if unit == "ft":
        mm *= M_PER_FT
        small, large, across, back = SMALL_FT, LARGE_FT, ACROSS_FT, BACK_FT

    def lines(length: float) -> list[tuple[float, bool]]:
        every = round(large / small)
        return [(round(n * small * mm, 3), n % every == 0) for n in range(round(length / small) + 1)]

    def marks(length: float) -> list[tuple[float, str]]:
        return [(round(n * large * mm, 3), f"{n * large:g}") for n in range(round(length / large) + 1)]

    return {
        "scale": SCALE,
        "small": f"{small:g} {unit}",
        "large": f"{large:g} {unit}",
        "width": round(across * mm, 3),
        "height": round(back * mm, 3),
        "upright": lines(across),
        "lying": lines(back),
        "across": marks(across),
        "back": marks(back),
    }
