"""Survey sheet to fill in at a van before the design: measurements and notes, with a grid for the plan."""

from vandoc.ground.messages import Messages
from vandoc.paper.pdf import FAMILY, to_pdf
from vandoc.paper.words import environment

WORDS = Messages("vandoc.paper", "survey")
SCALE = 35
SMALL_M, LARGE_M = 0.1, 0.5  # squares of the grid
ACROSS_M, BACK_M = 5.0, 7.5  # size of the grid: the longest van on A4 at this scale, with room for notes


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
    """Return the lines of the grid by distance from its corner, and the metre marks beside it. [mm]"""
    mm = 1000 / SCALE

    def lines(metres: float) -> list[tuple[float, bool]]:
        count = round(metres / SMALL_M)
        every = round(LARGE_M / SMALL_M)
        return [(round(n * SMALL_M * mm, 3), n % every == 0) for n in range(count + 1)]

    def marks(metres: float) -> list[tuple[float, str]]:
        count = round(metres / LARGE_M)
        return [(round(n * LARGE_M * mm, 3), f"{n * LARGE_M:g}") for n in range(count + 1)]

    return {
        "scale": SCALE,
        "small": f"{SMALL_M:g}",
        "large": f"{LARGE_M:g}",
        "width": round(ACROSS_M * mm, 3),
        "height": round(BACK_M * mm, 3),
        "upright": lines(ACROSS_M),
        "lying": lines(BACK_M),
        "across": marks(ACROSS_M),
        "back": marks(BACK_M),
    }
