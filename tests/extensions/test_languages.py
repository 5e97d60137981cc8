"""A language of another package: it speaks where it has words, English elsewhere, and nothing is lost."""

import json
import re
import shutil
from datetime import date
from pathlib import Path

import pytest
import yaml

import vandoc
from tests.conftest import ROOT
from vandoc.doors.build import read, write_manual
from vandoc.doors.publish import publish
from vandoc.ground.errors import ExtensionError
from vandoc.ground.extensions import ignored
from vandoc.ground.figures import number
from vandoc.ground.languages import translation
from vandoc.ground.messages import Messages, speaking
from vandoc.judgement.history import calculated
from vandoc.reading.archive import keep, revisions

POINTS = {"vandoc.languages": "marsh_words"}
CAUTIONS = "pages/manual/cautions.yml"
WORDS = "pages/manual/words.yml"
RULE = "judgement/checks/rules/revisions/revision_changed.yml"
FIRE = {
    "hazard": "Faro etendas. Fumo mortigas.",
    "consequence": "Gi mortigos vin.",
    "avoid": "Ciuj eliru. Voku la fajrobrigadon. Ne reeniru.",
}
SIGNALS = {"DANGER": "DANGXERO", "WARNING": "AVERTO", "CAUTION": "ATENTU", "NOTICE": "SCIIGO"}


def english(place: str) -> dict[str, object]:
    folder, _, name = place.rpartition("/")
    beside = ROOT / "vandoc" / folder / name.replace(".yml", ".en.yml")
    path = beside if beside.exists() else ROOT / "vandoc" / folder / "messages/en" / name
    found: dict[str, object] = yaml.safe_load(path.read_text("utf-8"))
    return found


def fire() -> dict[str, str]:
    """A caution in invented words, as long as the English one."""
    entry = english(CAUTIONS)["fire"]
    assert isinstance(entry, dict)
    return {part: re.sub(r"[^\W\d_]+", "Bla", entry[part]) for part in FIRE}


def toy(**more: object) -> dict[str, object]:
    """Catalogues of the toy language by place: a title, the signal words, a caution, a rule."""
    archived = english(RULE)["revision-not-archived"]
    assert isinstance(archived, dict)
    message = f"Mankas: {archived['message']}"
    return {
        WORDS: {"menu": {"safe": "Sekurigu gin"}, "signal_word": SIGNALS},
        CAUTIONS: {"fire": fire()},
        RULE: {"revision-not-archived": {"message": message}},
        **more,
    }


def put(install, texts: dict[str, object], code: str = "eo") -> None:
    contents = {
        f"marsh_words/{place}": yaml.safe_dump(tree, allow_unicode=True) for place, tree in texts.items()
    }
    install(code, "3.1", POINTS, contents)


@pytest.fixture
def van(tmp_path) -> Path:
    """The small demonstration van, in a workshop that wants the language."""
    shutil.copytree(ROOT / "sites/wren", tmp_path / "vans/wren", ignore=shutil.ignore_patterns("revisions"))
    shutil.copytree(ROOT / "sites/parts", tmp_path / "vans/parts")
    (tmp_path / "vans/workshop.yml").write_text("format: 2\nlanguage: eo\n")
    return tmp_path / "vans/wren/van.yml"


def messages(van: Path) -> list[str]:
    return [found.message for found in vandoc.check(read(van)) if found.rule == "revision-not-archived"]


def test_check_and_build_speak_it_where_it_has_words_and_english_elsewhere(install, van):
    put(install, toy())
    said = messages(van)
    assert said
    assert all(message.startswith("Mankas: ") for message in said)
    pages = write_manual(read(van))
    assert pages.language == "eo"
    index = str(pages.files["index.md"])
    panel = re.search(r'<div class="signal danger" role="note">.*?</div>', index, re.DOTALL)
    assert panel is not None
    assert "DANGXERO" in panel[0]
    assert fire()["avoid"] in panel[0]
    assert 'title: "Sekurigu gin"' in str(pages.files["safe.md"])
    assert "Emergency" in str(pages.files["emergency.md"])
    assert "A text without a translation is in English." in pages.extra["spoken"]
    assert "eo 3.1" in pages.extra["spoken"]


def test_a_caution_that_it_lacks_is_whole_in_english_and_marked_as_such(install, van):
    put(install, toy())
    cautions = str(write_manual(read(van)).files["cautions.md"])
    entry = english(CAUTIONS)["fuse-rating"]
    assert isinstance(entry, dict)
    panel = re.search(r'<div class="signal warning" role="note" lang="en">.*?</div>', cautions, re.DOTALL)
    assert panel is not None
    assert "WARNING" in panel[0]
    assert "AVERTO" not in panel[0]
    assert entry["avoid"] in cautions


def test_the_site_and_the_card_name_the_language(install, van, tmp_path):
    put(install, toy())
    site = publish(van, tmp_path / "out", draft=True)
    page = (site / "safe.html").read_text("utf-8")
    assert '<html lang="eo"' in page
    assert "eo 3.1" in page
    card = (site / "card.html").read_text("utf-8")
    assert '<html lang="eo"' in card
    assert "eo 3.1" in card


def test_packages_that_are_ignored_leave_english_and_a_question(install, van):
    put(install, toy())
    before = {path: text for path, text in write_manual(read(van)).files.items() if path == "index.md"}
    with ignored():
        found = vandoc.check(read(van))
        assert "language-not-installed" in [one.rule for one in found]
        assert not any(message.startswith("Mankas") for message in messages(van))
        pages = write_manual(read(van))
    assert pages.language == "en"
    assert "spoken" not in pages.extra
    assert pages.files["index.md"] != before["index.md"]
    assert "language-not-installed" not in [one.rule for one in vandoc.check(read(van))]


def test_a_language_that_nobody_installed_is_a_question_and_no_error(van):
    (found,) = [one for one in vandoc.check(read(van)) if one.rule == "language-not-installed"]
    assert found.severity == "review"
    assert "'eo'" in found.message
    assert Path(found.file).name == "workshop.yml"
    assert write_manual(read(van)).language == "en"


def test_the_van_file_decides_before_the_workshop_file(install, van):
    put(install, toy())
    van.write_text(van.read_text("utf-8").replace("van:\n", "van:\n  language: en\n", 1), "utf-8")
    assert not any(message.startswith("Mankas") for message in messages(van))
    assert write_manual(read(van)).language == "en"


def test_a_revision_records_the_package_and_the_language(install, van):
    put(install, toy())
    revision = keep(van, "first", date(2026, 11, 29), calculate=calculated)
    text = revision.path.read_text("utf-8")
    assert "eo: 3.1" in text.replace('"', "")
    assert "language: eo" in text
    with ignored():  # years later, without the package
        (kept,) = revisions(read(van).van_file)
        assert [str(one) for one in kept.packages] == ["eo 3.1"]


def test_numbers_and_plurals_follow_the_language(install):
    trouble = english("pages/manual/words.yml")["devices"]
    assert isinstance(trouble, str)
    put(install, toy())
    with speaking(translation("eo")):
        assert number(2.5) == "2,5"
    assert number(2.5) == "2.5"


def test_english_is_not_touched(install):
    before = Messages("vandoc.pages.manual", "words")["menu"]
    put(install, toy())
    words = Messages("vandoc.pages.manual", "words")
    with speaking(translation("eo")):
        assert words["menu.safe"] == "Sekurigu gin"
        assert words["menu.emergency"] == "Emergency"
    assert words["menu"] == before


def lost(part: str, text: str) -> dict[str, object]:
    return {CAUTIONS: {"fire": {**fire(), part: text}}}


@pytest.mark.parametrize(
    ("texts", "reason"),
    [
        ({"pages/manual/nothing.yml": {"a": "b"}}, "there is no such catalogue"),
        ({WORDS: {"menu": {"sail": "Velo"}, "signal_word": SIGNALS}}, r"menu.sail: there is no such wording"),
        ({WORDS: {"more": "{first} kaj pli", "signal_word": SIGNALS}}, r"more: \{count\} must stand there"),
        ({WORDS: {"more": "{first.__class__} {first} {count}", "signal_word": SIGNALS}}, "__class__"),
        ({WORDS: {"menu": "Menuo", "signal_word": SIGNALS}}, "menu: a table is needed"),
        ({WORDS: {"emergency": {"number": "911"}, "signal_word": SIGNALS}}, "its figures must be those"),
        ({WORDS: {"frame": {"skip": "<b>Salti</b>"}, "signal_word": SIGNALS}}, "its markup must be that"),
        ({WORDS: {"frame": {"skip": " "}, "signal_word": SIGNALS}}, "text is needed"),
        ({WORDS: {}}, "cautions need these signal words"),
        ({WORDS: {"signal_word": {**SIGNALS, "DANGER": "AVERTO"}}}, "each a different word"),
        (
            {CAUTIONS: {"fire": {"hazard": "Faro. Faro. Faro."}}},
            "avoid is missing; translate the whole",
        ),
        (lost("avoid", "Ciuj eliru."), "fewer sentences than the English caution"),
        (lost("signal", "NOTICE"), "fire.signal: this is no wording"),
        (lost("when", "never"), "fire.when: "),
        ({RULE: {"revision-not-archived": {"source": "mi"}}}, "source: this is no wording"),
        ({RULE: {"revision-not-archived": {"message": "Nenio."}}}, "must stand there as often"),
    ],
)
def test_a_translation_that_loses_something_is_refused_by_name(install, texts, reason):
    put(install, toy(**texts))
    with pytest.raises(ExtensionError, match=f"(?s)package eo 3.1: .*{reason}"):
        translation("eo")


@pytest.mark.parametrize("code", ["en", "esperanto", "qq"])
def test_a_code_that_is_no_other_language_is_refused(install, code):
    put(install, toy(), code)
    if code == "en":
        assert translation("en") is None  # nothing replaces English
        return
    with pytest.raises(ExtensionError, match=f"package {code} 3.1"):
        translation(code)


def test_json_of_a_van_is_in_its_language(install, van):
    put(install, toy())
    found = [one.message for one in vandoc.check(read(van))]
    assert "Mankas" in json.dumps(found)
