"""`vandoc new` on a terminal: prompts, options, going back, and a van like another one."""

import re

import pytest
import yaml
from click.testing import CliRunner

from tests.vans.small import SMALL
from vandoc.doors.cli import main, starting
from vandoc.reading.loader import load
from vandoc.reading.starter import QUESTIONS


@pytest.fixture
def terminal(monkeypatch):
    """Make the commands believe that they are on a terminal."""
    real = starting.sys

    class Stdin:
        def isatty(self):
            return True

    class System:
        stdin = Stdin()

        def __getattr__(self, name):
            return getattr(real, name)

    monkeypatch.setattr(starting, "sys", System())


def new(folder, *options, typed=None, status=0):
    done = CliRunner().invoke(main, ["new", str(folder), *options], input=typed)
    assert done.exit_code == status, done.output
    return done.output


def van(folder):
    return load(folder / "van.yml").system


def test_every_question_has_its_option():
    assert [question.option for question in QUESTIONS] == [f"--{name}" for name in starting.ANSWERS]


def test_options_answer_without_a_terminal(tmp_path):
    new(tmp_path / "teal", "--name", "Teal", "--nominal", "24", "--inverter", "5000", "--batteries", "2")
    found = van(tmp_path / "teal")
    assert (found.van.name, found.van.nominal_v) == ("Teal", 24)
    assert found.equipment["inverter"].power_w == 5000
    assert len(found.leisure) == 2


def test_every_wrong_option_is_told_at_once(tmp_path):
    told = new(tmp_path / "teal", "--nominal", "13", "--driver", "top", status=2)
    assert "--nominal: Please type one of these: 12, 24, 48." in told
    assert "--driver: Please type one of these: left, right." in told
    assert not (tmp_path / "teal").exists()


def test_answers_that_do_not_go_together_are_told(tmp_path):
    told = new(tmp_path / "teal", "--inverter", "5000", status=2)
    assert "At 12 V, the largest inverter is 2500 W." in told


@pytest.mark.usefixtures("terminal")
def test_only_what_no_option_states_is_asked_and_one_can_go_back(tmp_path):
    given = [o for q in QUESTIONS if q.key not in ("name", "driver", "phone") for o in (q.option, q.default)]
    given = [text for pair in zip(given[::2], given[1::2], strict=True) if pair[1] for text in pair]
    told = new(tmp_path / "teal", *given, typed="Tael\nright\n<\n<\nTeal\n\n\n\n")
    found = van(tmp_path / "teal")
    assert (found.van.name, found.van.size.driver) == ("Teal", "right")
    assert told.count("What is the van called?") == 2
    assert "Type < to go back" in told


@pytest.fixture
def existing(tmp_path):
    data = yaml.safe_load(SMALL.read_text("utf-8"))
    data["van"] |= {
        "built": "2025-03-14",
        "revision": 3,
        "archived": True,
        "published": "https://example.org/v/old/",
    }
    data["equipment"]["main-fuse"] = {"part": "../parts/fuse.yml", "place": "box"}
    data["equipment"]["house"]["installed"] = "2025-03-14"
    data["services"] = [{"date": "2026-03-14", "by": "Hollow Lane Van Works", "done": ["re-torque"]}]
    folder = tmp_path / "sites/old"
    folder.mkdir(parents=True)
    (tmp_path / "sites/parts").mkdir()
    sheet = "kind: fuse\nname: main fuse\nfamily: SF30\nrating: 30 A\nvoltage: 32 V\nbreaking: 5 kA\n"
    (tmp_path / "sites/parts/fuse.yml").write_text(sheet, "utf-8")
    text = yaml.safe_dump(data, allow_unicode=True, sort_keys=False)
    path = folder / "van.yml"
    path.write_text(f"# As in the workshop's first van.\n{text}", "utf-8")
    load(path)
    return path


def test_a_van_like_another_has_its_wiring_and_none_of_its_history(existing, tmp_path):
    new(
        tmp_path / "deep/down/teal",
        "--like",
        str(existing),
        "--name",
        "Teal",
        "--site",
        "https://example.org/v",
    )
    path = tmp_path / "deep/down/teal/van.yml"
    text, found, old = path.read_text("utf-8"), load(path).system, load(existing).system
    assert text.startswith("# As in the workshop's first van.\n")
    assert (found.van.name, found.van.revision, found.van.built) == ("Teal", 1, None)
    assert old.van.archived
    assert not found.van.archived
    assert re.fullmatch(r"https://example.org/v/[0-9a-f]{16}/", found.van.published)
    assert (found.services, found.equipment["house"].installed) == ([], None)
    assert found.equipment["main-fuse"].rating_a == 30
    assert "part: ../../../sites/parts/fuse.yml" in text
    assert (found.circuits, found.cables, found.loads) == (old.circuits, old.cables, old.loads)


def test_a_van_like_another_asks_only_for_its_name_and_address(existing, tmp_path):
    told = new(tmp_path / "teal", "--like", str(existing), "--nominal", "24", status=2)
    assert "--nominal: this is not asked here; leave it out." in told
    assert not (tmp_path / "teal").exists()
