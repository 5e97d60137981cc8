"""Every way to point output at a source, for every command: refused, and nothing on the disk has changed.

The commands do little before they look at the target, so each arrangement is tried with the real command.
"""

import os
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from mkdocs.__main__ import cli as mkdocs

from tests.output.vans import CONFIG, everything, make
from vandoc.doors.cli import main

SAYS = ("belongs to a van", "belong to a van", "was not written by vandoc", "is not a folder")


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    make(tmp_path)
    (tmp_path / "link").symlink_to("tern", target_is_directory=True)
    (tmp_path / "tern/pages/link").symlink_to("../..", target_is_directory=True)
    (tmp_path / "linked.yml").symlink_to("tern/van.yml")
    (tmp_path / "photos/tern").mkdir(parents=True)
    (tmp_path / "photos/tern/sunset.jpg").write_bytes(b"mine")
    (tmp_path / "plain").mkdir()
    (tmp_path / "plain/tern").write_text("a file of that name")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def refused(result: Result, before: dict[str, bytes | str], folder: Path) -> str:
    """The command has refused; return what it said."""
    said = result.output
    assert isinstance(result.exception, SystemExit), (result.exception, said)
    assert result.exit_code in (1, 2), said
    assert "Traceback" not in said
    assert everything(folder) == before
    return said


# What is typed after --out, and from which folder; the output goes to a folder `tern` in it.
ARRANGEMENTS = {
    "the folder above": (".", "tern/van.yml", "."),
    "the folder above, with dots": (".", "tern/van.yml", "photos/.."),
    "the folder above, absolute": (".", "{here}/tern/van.yml", "{here}"),
    "the folder above, from inside": ("tern", "van.yml", ".."),
    "the folder above, through a link": (".", "link/van.yml", "tern/pages/link"),
    "a van file that is a link": (".", "link/van.yml", "."),
    "own pages": (".", "tern/van.yml", "tern/pages"),
    "below own pages": (".", "tern/van.yml", "tern/pages/new/deeper"),
    "own pages, from inside": ("tern/pages", "../van.yml", "."),
    "own pages, through a link": (".", "tern/van.yml", "link/pages"),
    "revisions": (".", "tern/van.yml", "tern/revisions"),
    "pictures": (".", "tern/van.yml", "tern/pictures"),
    "part sheets": (".", "tern/van.yml", "parts"),
    "part sheets, with dots": (".", "tern/van.yml", "tern/../parts/x/.."),
    "somebody's photos": (".", "tern/van.yml", "photos"),
    "a file of that name": (".", "tern/van.yml", "plain"),
}


@pytest.mark.parametrize("command", ["build", "print"])
@pytest.mark.parametrize("arrangement", ARRANGEMENTS)
def test_build_and_print_refuse(here, monkeypatch, command, arrangement):
    start, van_file, out = ARRANGEMENTS[arrangement]
    monkeypatch.chdir(here / start)
    before = everything(here)
    words = [command, van_file.format(here=here), "--out", out.format(here=here)]
    words += ["--only", "lists"] if command == "print" else []
    said = refused(CliRunner().invoke(main, words), before, here)
    assert any(text in said for text in SAYS), said
    assert "choose another place" in said


@pytest.mark.parametrize("command", ["build", "print"])
def test_a_named_van_file_is_refused_where_a_folder_of_its_name_holds_a_source(here, command):
    """`vans/tern.yml` is named tern; so is its folder of revisions' neighbour."""
    (here / "tern/van.yml").rename(here / "tern/pictures.yml")
    before = everything(here)
    result = CliRunner().invoke(main, [command, "tern/pictures.yml", "--out", "tern"])
    assert "belongs to a van" in refused(result, before, here)


@pytest.mark.parametrize("command", ["build", "print"])
@pytest.mark.parametrize("name", ["..yml", "...yml"])
def test_a_van_file_without_a_name_is_refused(here, command, name):
    (here / "tern/van.yml").rename(here / "tern" / name)
    before = everything(here)
    result = CliRunner().invoke(main, [command, f"tern/{name}", "--out", "photos"])
    said = refused(result, before, here)
    assert "name" in said
    assert "photos" not in said or "move" in said


def test_a_van_file_at_the_top_of_the_file_system_has_no_name():
    from vandoc.doors.output import RefusedError, name_of

    with pytest.raises(RefusedError, match="not in a folder whose name") as error:
        name_of(Path("/van.yml"))
    assert error.value.refusal.reason == "nameless"


SITES = {
    "the van": ("tern", "belongs to a van"),
    "the van, absolute": ("{here}/tern", "belongs to a van"),
    "the van, through a link": ("link", "belongs to a van"),
    "the folder above": (".", "docs_dir"),  # MkDocs refuses these itself
    "above that": ("..", "docs_dir"),
    "own pages": ("tern/pages", "belongs to a van"),
    "below own pages": ("tern/pages/site", "belong to a van"),
    "pages of MkDocs": ("docs", "docs_dir"),
    "below own pages, through a link": ("link/pages/site", "belong to a van"),
    "revisions": ("tern/revisions", "belongs to a van"),
    "below revisions": ("tern/revisions/site", "belong to a van"),
    "pictures": ("tern/pictures", "belongs to a van"),
    "part sheets": ("parts", "belongs to a van"),
    "below part sheets": ("parts/site", "belong to a van"),
    "somebody's photos": ("photos/tern", "was not written by vandoc"),
    "a file": ("plain/tern", "is not a folder"),
}


@pytest.mark.parametrize("arrangement", SITES)
def test_the_plugin_refuses(here, arrangement, caplog):
    site, expected = SITES[arrangement]
    (here / "mkdocs.yml").write_text(CONFIG.format(site=site.format(here=here)))
    before = everything(here)
    said = refused(CliRunner().invoke(mkdocs, ["build"]), before, here) + caplog.text
    assert expected in said


NEW = {
    "the van": ("tern", "already exists"),
    "the van, through a link": ("link", "already exists"),
    "the folder above": (".", "belongs to a van"),
    "the folder above, with dots": ("photos/..", "belongs to a van"),
    "pages": ("tern/pages", "belongs to a van"),
    "below pages": ("tern/pages/teal", "belong to a van"),
    "below pages, through a link": ("link/pages/teal", "belong to a van"),
    "below revisions": ("tern/revisions/teal", "belong to a van"),
    "below pictures": ("tern/pictures/teal", "belong to a van"),
    "part sheets": ("parts", "belongs to a van"),
    "below part sheets": ("parts/teal", "belong to a van"),
    "a file": ("plain/tern", "cannot be written"),
}


@pytest.mark.parametrize("absolute", [False, True], ids=["relative", "absolute"])
@pytest.mark.parametrize("arrangement", NEW)
def test_new_refuses(here, arrangement, absolute):
    folder, expected = NEW[arrangement]
    before = everything(here)
    given = str(here / folder) if absolute else folder
    assert expected in refused(CliRunner().invoke(main, ["new", given, "--no-input"]), before, here)


SURVEY = {
    "the van file": ("tern/van.yml", "already exists"),
    "the van file, through a link": ("linked.yml", "already exists"),
    "a folder": ("tern", "already exists"),
    "among pages": ("tern/pages/survey.pdf", "belong to a van"),
    "among pages, through a link": ("link/pages/survey.pdf", "belong to a van"),
    "among revisions": ("tern/revisions/survey.pdf", "belong to a van"),
    "among pictures": ("tern/pictures/survey.pdf", "belong to a van"),
    "among part sheets": ("photos/../parts/survey.pdf", "belong to a van"),
    "below a file": ("plain/tern/survey.pdf", "cannot be written"),
}


@pytest.mark.parametrize("absolute", [False, True], ids=["relative", "absolute"])
@pytest.mark.parametrize("arrangement", SURVEY)
def test_survey_refuses(here, arrangement, absolute, monkeypatch):
    monkeypatch.setattr("vandoc.paper.survey.survey", lambda: b"%PDF-1.7")
    out, expected = SURVEY[arrangement]
    before = everything(here)
    given = str(here / out) if absolute else out
    assert expected in refused(CliRunner().invoke(main, ["survey", given]), before, here)


def test_beside_the_sources_everything_is_allowed(here, monkeypatch):
    monkeypatch.setattr("vandoc.paper.survey.survey", lambda: b"%PDF-1.7")
    (here / "tern/pages/link").unlink()  # no manual is made from pages with a link that never ends
    before = everything(here)
    monkeypatch.chdir(here / "tern")
    for words in (
        ["print", "van.yml", "--out", "paper", "--only", "lists", "--draft"],
        ["print", "van.yml", "--out", ".", "--only", "lists", "--draft"],
        ["survey", "survey.pdf"],
        ["new", "teal", "--no-input"],
        ["build", "van.yml", "--out", "manual", "--draft"],
    ):
        result = CliRunner().invoke(main, words)
        assert result.exit_code == 0, result.output
    for made in ("paper/tern/lists", "tern/lists", "survey.pdf", "teal/van.yml", "manual/tern/index.html"):
        assert os.path.lexists(made), made
    now = everything(here)
    assert {name: now.get(name) for name in before} == before


def test_pages_with_a_link_to_a_folder_above_are_refused_before_anybody_walks_them(here):
    before = everything(here)
    (here / "tern/pages/more").mkdir()
    (here / "tern/pages/more/back").symlink_to("../../pages", target_is_directory=True)
    before = everything(here)
    said = refused(
        CliRunner().invoke(main, ["build", "tern/van.yml", "--out", "manual", "--draft"]), before, here
    )
    assert "pages/link is a link to a folder above it" in said
    assert "pages/more/back is a link to a folder above it" in said
