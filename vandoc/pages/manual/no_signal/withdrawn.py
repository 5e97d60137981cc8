"""A withdrawn manual: a page with the notice, and a service worker that deletes copies on phones."""

from vandoc.model.system import System
from vandoc.pages.manual.imprint import contact_of
from vandoc.pages.manual.no_signal.card import PATH as CARD
from vandoc.pages.manual.no_signal.offline import ROBOTS, ROBOTS_AWAY, WORKER
from vandoc.pages.manual.no_signal.self_contained import single_page
from vandoc.pages.manual.text import HERE, say

# The start page, the target of printed codes, and the page that many hosts show for any other address.
PAGES = ("index.html", CARD, "404.html")


def files(system: System) -> dict[str, str]:
    """Return all files of a withdrawn manual by their path."""
    page = single_page("withdrawn", (), contact=contact_of(system), number=say("emergency.number"))
    worker = (HERE / "templates/withdrawn.js").read_text("utf-8")
    return {**dict.fromkeys(PAGES, page), WORKER: worker, ROBOTS: ROBOTS_AWAY}
