"""One thing has one name: titles, fuses, the main battery switch; and first aid says the same everywhere."""

import re
from html import unescape

import pytest

from tests.manual.manuals import VANS, judged, manual, page, words
from vandoc.ground.messages import LANGUAGE
from vandoc.judgement.remedy import findings
from vandoc.model import equipment as eq
from vandoc.pages.manual.page import CAUTIONS
from vandoc.pages.manual.pages import LISTS
from vandoc.pages.manual.text import HERE, WORDS

TEMPLATES = sorted((HERE / "templates").rglob("*.j2"))
CATALOGUES = sorted((HERE / "messages" / LANGUAGE / "pages").rglob("*.yml"))


def said(van: str) -> dict[str, str]:
    """The text of every page, list and card by its path."""
    files = manual(van).files.items()
    texts = {path: text if isinstance(text, str) else text.decode("utf-8", "ignore") for path, text in files}
    return {path: unescape(text) for path, text in texts.items() if path.endswith(("md", "html", "csv"))}


def by_owner(path: str) -> bool:
    return path.endswith(("md", "html")) and not path.startswith("electrician/")


@pytest.mark.parametrize("path", [*TEMPLATES, *CATALOGUES], ids=lambda path: path.name)
def test_a_title_is_looked_up_and_never_written_again(path):
    text = path.read_text("utf-8")
    for key, title in (*WORDS["menu"].items(), *WORDS["asked"].items(), *WORDS["emergency"].items()):
        for written in (f'"{title}"', f">{title}<", f"# {title}\n", f"# {title} {{"):
            assert written not in text, (key, title)
        assert " " not in title or f": {title}\n" not in text, (key, title)  # one word may head a column


@pytest.mark.parametrize("van", VANS)
@pytest.mark.parametrize(
    "path", ["care.md", "battery.md", "safe.md", *(f"electrician/{one}.md" for one in LISTS)]
)
def test_a_page_is_headed_by_its_title_in_the_contents(van, path):
    if path not in manual(van).files:
        return
    front = re.search(r'^title: "(.*)"$', str(manual(van).files[path]), re.MULTILINE)
    assert front is not None
    assert words(next(page(van, path).iter("h1"))) == unescape(front[1])


@pytest.mark.parametrize("van", VANS)
def test_a_fuse_is_named_by_its_position_and_its_board(van):
    found = judged(van)
    boards = {
        piece.name for piece in found.van_file.system.equipment.values() if isinstance(piece, eq.FuseBoard)
    }
    bare = re.compile(rf"\b(?:{'|'.join(map(re.escape, boards))}) \d+\b(?! A)", re.IGNORECASE)
    texts = said(van) | {finding.rule: finding.message for finding in findings(found)}
    assert {path: bare.findall(text) for path, text in texts.items() if bare.search(text)} == {}
    named = {fuse.id: fuse for fuse in found.network.fuses.values() if fuse.position is not None}
    spares = said(van)["lists/spares.csv"]
    for fuse in named.values():
        board = found.van_file.system.equipment[fuse.owner].name
        assert re.search(rf"fuses? [\d, and]*\b{fuse.position}\b[\d, and]* of the {re.escape(board)}", spares)
    assert any(re.search(r"\bfuses? 1\b[^.]* of the", text) for text in texts.values())


@pytest.mark.parametrize("van", VANS)
def test_an_owner_reads_one_name_for_the_main_battery_switch(van):
    for path, text in said(van).items():
        if by_owner(path):
            visible = re.sub(r'"[^"]*"|\([^)\s]*\)|\{[^}]*\}', "", text)  # addresses and anchors hold ids
            assert "isolator" not in visible, path
            assert not re.search(r"(?i)(?<!main )battery switch|main switch|mains isolator", visible), path


def test_an_electrician_reads_battery_isolator():
    assert eq.Isolator.words()["name"] == "battery isolator"
    for path in (*TEMPLATES, *CATALOGUES):
        if path.parent.name in ("electrician", "lists"):
            assert "battery switch" not in path.read_text("utf-8")


@pytest.mark.parametrize("van", ["wren", "heron"])
def test_acid_on_skin_is_rinsed_for_20_minutes_wherever_it_is_told(van):
    # First responders' advice on acid: skin 20 minutes, eyes 10 to 20 minutes.
    told = said(van)
    acid = words(page(van, "emergency.md"))
    assert "for at least 20 minutes" in acid[acid.index("Rinse at once") :][:80]
    assert "Rinse with water at once for at least 20 minutes" in " ".join(told["card.html"].split())
    assert "Rinse splashes with water for 20 minutes" in CAUTIONS["acid.avoid"]
    assert not [path for path, text in told.items() if re.search(r"15[\s\u00a0]minutes", text)]
