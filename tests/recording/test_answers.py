"""Answers: checked by the model's own rules when they are given, and kept until they are saved."""

import json
import os
import signal
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner

from tests.recording.vans import SMALL
from vandoc.analysis.commissioning import taken
from vandoc.doors.cli import main
from vandoc.doors.cli import recording as command
from vandoc.doors.recording import journal_of
from vandoc.reading import editing
from vandoc.reading.archive import keep, revisions
from vandoc.reading.loader import load

NIGHT = date(2026, 3, 1)


@pytest.fixture
def tern(tmp_path: Path) -> Path:
    van_file = tmp_path / "tern/van.yml"
    van_file.parent.mkdir()
    van_file.write_text(SMALL, "utf-8")
    keep(van_file, "handed over", NIGHT)
    return van_file


def run(*arguments: object, answers: str = ""):
    result = CliRunner().invoke(main, [str(argument) for argument in arguments], input=answers)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exc_info
    return result


def record(path: Path, answers: str, *more: str):
    return run("record", path, "--date", "2026-03-14", *more, answers=answers)


def values(path: Path) -> dict[str, float]:
    return {name: one[-1].value for name, one in taken(load(path).system).items()}


def order(path: Path) -> list[str]:
    """The measurements in the order in which they are asked for."""
    lines = record(path, "\n" * 99).output.splitlines()
    return [line.rpartition("[")[2][:-1] for line in lines if line.endswith("]")]


def answers_for(path: Path, given: dict[str, str], stop: bool = True) -> str:
    """Enter for each measurement up to the last of these, and these."""
    names = order(path)
    last = max(names.index(name) for name in given)
    lines = [given.get(name, "") for name in names[: last + 1]]
    return "\n".join([*lines, *(["stop"] if stop else []), ""])


def test_a_bare_number_is_taken_in_the_unit_that_the_question_names(tern):
    names = order(tern)
    drop = next(name for name in names if name.startswith("drop."))
    rest = next(name for name in names if name.startswith("rest-voltage."))
    result = record(tern, answers_for(tern, {rest: "12.7", drop: "52\n0.8"}))
    assert "Reading in V: 12.7" in result.output
    assert "Reading in mV: 52" in result.output
    assert values(tern) == {rest: 12.7, drop: 0.052}
    assert "value: 52 mV, current: " in tern.read_text("utf-8")


@pytest.mark.parametrize("current", ["0 A", "-5 A", "999999 A", "5 V", "much", "-5", "0"])
def test_a_current_that_the_file_would_refuse_is_asked_for_again(tern, current):
    drop = next(name for name in order(tern) if name.startswith("drop."))
    result = record(tern, answers_for(tern, {drop: f"52 mV\n{current}\n800 mA"}))
    assert "Error: " in result.output
    assert taken(load(tern).system)[drop][0].current_a == 0.8


WORKSHOPS = {
    "a line break": "Bench\nand more",
    "too long": "x" * 301,
    "a control character": "a\x07b",
    "nothing but a byte": "\udcff",
}


@pytest.mark.parametrize("by", WORKSHOPS.values(), ids=WORKSHOPS)
def test_a_workshop_that_the_file_would_refuse_is_told_before_anything_is_asked(tern, by):
    before = tern.read_bytes()
    result = record(tern, "12.7 V\n", "--by", by)
    assert result.exit_code == 2
    assert "Reading in" not in result.output
    assert tern.read_bytes() == before


def service(**more: str) -> str:
    given = {
        "date": "2026-04-01",
        "by": "Bench",
        "odometer": "",
        "replaced": "",
        "done": "",
        "notes": "",
        "why": "",
    }
    return "\n".join([*(given | more).values(), ""])


REFUSED = {
    "a distance below 0": ("odometer", "-5 km", "51000 km", "'-5 km'"),
    "a distance in amperes": ("odometer", "5 A", "51000", "'5 A' is not a distance"),
    "a long name": ("by", "x" * 301, "Bench", "no more than 300 characters"),
    "a control character": ("by", "a\x07b", "Bench", "cannot be written in a file"),
    "long notes": ("notes", "x" * 2001, "fine", "no more than 2000 characters"),
    "a long reason": ("why", "y" * 301, "service", "no more than 300 characters"),
    "no such thing": ("replaced", "lmap", "lamp\npower: 0 W\npower: 12 W\n\n", "did you mean 'lamp'?"),
    "a cable without an id": ("replaced", "house.+ to board.in", "board\n\n", "has no id"),
    "a day to come": ("date", "2999-01-01", "2026-04-01", "is in the future"),
}


@pytest.mark.parametrize(("question", "wrong", "right", "said"), REFUSED.values(), ids=REFUSED)
def test_a_wrong_answer_about_a_service_is_asked_for_again(tern, question, wrong, right, said):
    result = run("service", tern, answers=service(**{question: f"{wrong}\n{right}"}))
    assert said in result.output
    assert "Error: " in result.output
    assert result.exit_code == 0, result.output
    assert len(load(tern).system.services) == 1
    assert [one.number for one in revisions(load(tern))] == [1, 2]
    assert [path.name for path in tern.parent.iterdir()] in (
        ["van.yml", "revisions"],
        ["revisions", "van.yml"],
    )


def test_a_load_that_states_its_power_instead_can_be_entered(tern):
    result = run("service", tern, answers=service(replaced="lamp\ncurrent: 2 A\n\n"))
    assert result.exit_code == 0, result.output
    lamp = load(tern).system.loads["lamp"]
    assert (lamp.current_a, lamp.power_w) == (2.0, None)


def test_revise_asks_again_for_an_empty_reason_and_refuses_an_empty_option(tern):
    tern.write_text(f"{tern.read_text('utf-8')}use: {{nights: 1}}\n", "utf-8")
    assert "must not be empty" in run("revise", tern, "--why", " ").output
    assert len(revisions(load(tern))) == 1
    result = run("revise", tern, answers="\n  \na\x07b\nfitted out\n")
    assert "must not be empty" in result.output
    assert "cannot be written in a file" in result.output
    assert revisions(load(tern))[-1].why == "fitted out"


def test_a_file_that_would_grow_too_large_is_left_as_it_is(tern):
    tern.write_text(f"{tern.read_text('utf-8')}#{'x' * (999_990 - tern.stat().st_size)}\n", "utf-8")
    before = tern.read_bytes()
    result = record(tern, "12 kΩ\n")
    assert "over 1000 kB; the file is unchanged" in result.output
    assert tern.read_bytes() == before


def test_record_goes_on_after_an_interruption(tern):
    names = order(tern)
    drop = next(name for name in names if name.startswith("drop."))
    first = answers_for(tern, {names[0]: "12 kΩ", drop: "52 mV"}, stop=False)
    result = record(tern, first)  # ends where the current is asked for
    assert result.exit_code == 1
    assert "kept in" in result.output
    assert "1 saved" in result.output
    assert values(tern) == {names[0]: 12000.0}
    again = run("record", tern, "--date", "2026-03-20", answers="y\n0.8\nstop\n")
    asked = [line for line in again.output.splitlines() if line.endswith("]")]
    assert f"[{drop}]" in asked[0], "what was passed over is not asked for again"
    assert values(tern) == {names[0]: 12000.0, drop: 0.052}
    assert {visit.date.isoformat() for visit in load(tern).system.commissioning} == {"2026-03-14"}
    assert not journal_of(tern, "record").exists()


def test_service_goes_on_after_an_interruption(tern):
    whole = service(replaced="lamp\npower: 12 W\n\n", odometer="51000 km", notes="new lamp")
    lines = whole.splitlines(keepends=True)
    for count in range(1, len(lines)):
        kept = tern.read_bytes()
        result = run("service", tern, answers="".join(lines[:count]))
        assert result.exit_code == 1
        assert tern.read_bytes() == kept
        assert journal_of(tern, "service").is_file()
        other = run("record", tern, answers="stop\n")
        assert "'vandoc service' goes on with them" in other.output
        result = run("service", tern, answers=f"y\n{''.join(lines[count:])}")
        assert result.exit_code == 0, result.output
        found = load(tern).system.services
        assert (found[-1].odometer_km, found[-1].replaced, found[-1].notes) == (51000, ["lamp"], "new lamp")
        assert len(found) == count
        assert not journal_of(tern, "service").exists()


def test_revise_goes_on_after_an_error(tern, monkeypatch):
    tern.write_text(f"{tern.read_text('utf-8')}use: {{nights: 1}}\n", "utf-8")
    with monkeypatch.context() as patched:
        patched.setattr(editing, "exchanged", lambda *_: False)
        patched.setattr(Path, "replace", _full)
        result = run("revise", tern, answers="fitted out by hand\n")
        assert "No space left" in result.output
    result = run("revise", tern, answers="y\n")
    assert result.exit_code == 0, result.output
    assert revisions(load(tern))[-1].why == "fitted out by hand"


def _full(*_: object) -> None:
    raise OSError(28, os.strerror(28))


def test_answers_that_are_not_wanted_are_deleted_only_when_that_is_said(tern):
    run("service", tern, answers="2026-04-01\nBench\n")
    journal = journal_of(tern, "service")
    kept = journal.read_bytes()
    result = run("service", tern, answers="n\nn\n")
    assert result.exit_code == 2
    assert "left as they are" in result.output
    assert journal.read_bytes() == kept
    result = run("service", tern, answers=f"n\ny\n{service(by='Another')}")
    assert result.exit_code == 0
    assert load(tern).system.services[0].by == "Another"
    assert not journal.exists()


@pytest.mark.parametrize("spoilt", [b"x\n", b"[]\n", b'{"options": 1}\n', b"[" * 9999 + b"\n", b"\xff\n"])
def test_a_journal_that_cannot_be_understood_is_left_as_it_is(tern, spoilt):
    journal = journal_of(tern, "record")
    journal.write_bytes(spoilt)
    result = record(tern, "12 kΩ\nstop\n")
    assert result.exit_code == 2
    assert "move it to another folder" in result.output
    assert journal.read_bytes() == spoilt
    journal.unlink()
    assert record(tern, "12 kΩ\nstop\n").exit_code == 0


def test_a_last_line_that_was_cut_short_is_left_out(tern):
    run("service", tern, answers="2026-04-01\nBench\n")
    journal = journal_of(tern, "service")
    with journal.open("ab") as stream:
        stream.write(b'{"question": "odometer", "ans')
    result = run("service", tern, answers="y\n51000 km\n\n\n\n\n")
    assert result.exit_code == 0, result.output
    assert load(tern).system.services[0].odometer_km == 51000


def test_an_answer_that_no_longer_fits_is_asked_for_again(tern):
    run("service", tern, answers="2026-04-01\nBench\n\nlamp\n")
    tern.write_text(tern.read_text("utf-8").replace("lamp", "light"), "utf-8")
    result = run("service", tern, answers="y\nlight\n\n\n\n\n\n")
    assert "no item, load, cable or circuit is called 'lamp'" in result.output
    assert load(tern).system.services[0].replaced == ["light"]


def waiting(path: Path, question: bytes, answers: bytes = b"") -> subprocess.Popen[bytes]:
    """`record` in a process of its own, waiting at a question."""
    code = "from vandoc.doors.cli import main; main()"
    process = subprocess.Popen(
        [sys.executable, "-c", code, "record", str(path), "--date", "2026-03-14"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
    )
    assert process.stdin is not None
    assert process.stdout is not None
    process.stdin.write(answers)
    process.stdin.flush()
    shown = b""
    while question not in shown:
        letter = process.stdout.read(1)
        assert letter, shown
        shown += letter
    return process


@pytest.mark.parametrize("stop", [signal.SIGINT, signal.SIGKILL])
def test_ctrl_c_and_a_kill_at_a_question_keep_what_was_answered(tern, stop):
    drop = next(name for name in order(tern) if name.startswith("drop."))
    process = waiting(tern, b"Current during", answers_for(tern, {drop: "52"}, stop=False).encode())
    process.send_signal(stop)
    said, _ = process.communicate()
    assert process.returncode == (1 if stop == signal.SIGINT else -9)
    assert (b"are kept in" in said) == (stop == signal.SIGINT)
    assert not values(tern)
    assert "1 saved" in record(tern, "y\n0.8\nstop\n").output
    assert values(tern) == {drop: 0.052}


def test_two_who_record_at_once_do_not_share_their_answers(tern):
    first = waiting(tern, b"Reading in k")
    second = record(tern, "13 kΩ\nstop\n")
    assert second.exit_code == 2
    assert "'vandoc record' is already running on this file" in second.output
    said, _ = first.communicate(b"12\nstop\n")
    assert b"1 saved" in said
    assert list(values(tern).values()) == [12000.0]
    assert record(tern, "stop\n").exit_code == 0


def test_an_editor_that_saves_meanwhile_wins_and_the_answer_is_kept(tern, monkeypatch):
    mine = editing.save

    def slow(draft: editing.Draft) -> editing.Draft:
        tern.write_text(f"{tern.read_text('utf-8')}# hers\n", "utf-8")
        return mine(draft)

    with monkeypatch.context() as patched:
        patched.setattr(editing, "save", slow)
        result = record(tern, "12 kΩ\nstop\n")
    assert result.exit_code == 2
    assert "changed by someone else" in result.output
    assert not values(tern)
    result = record(tern, "y\nstop\n")
    assert "1 saved" in result.output
    assert tern.read_text("utf-8").count("# hers") == 1
    assert list(values(tern).values()) == [12000.0]


def test_a_change_that_load_refuses_is_never_saved(tern, monkeypatch):
    """Whatever the checks of single answers let through, the whole file is read before it is saved."""
    import vandoc.doors.recording

    real, tried = vandoc.doors.recording.add_reading, []

    def wrong(*given: object) -> editing.Draft:
        draft = real(*given)
        tried.append(1)
        if len(tried) > 1:
            return draft
        return editing.Draft(draft.path, draft.raw, draft.text.replace("12 kΩ", "12 kg"))

    monkeypatch.setattr(vandoc.doors.recording, "add_reading", wrong)
    result = record(tern, "12 kΩ\n13 kΩ\nstop\n")
    assert "'12 kg' is not a resistance" in result.output
    assert list(values(tern).values()) == [13000.0]
    assert command.save is not None


def test_the_journal_is_lines_that_anyone_can_read(tern):
    run("service", tern, answers="2026-04-01\nBench é\n")
    lines = [json.loads(line) for line in journal_of(tern, "service").read_text("utf-8").splitlines()]
    assert lines == [
        {"options": {}},
        {"question": "date", "answer": "2026-04-01"},
        {"question": "by", "answer": "Bench é"},
    ]
