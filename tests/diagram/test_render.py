"""The layout program: found, run once for several graphs, and its failures told."""

import stat
import sys
from pathlib import Path

import pytest

from vandoc.ground.errors import VandocError
from vandoc.pages.diagram import render as module
from vandoc.pages.diagram.render import DiagramError, Engine, engines, find_engine, render
from vandoc.pages.diagram.single_line.finish import finished


def test_the_port_from_pypi_is_always_there() -> None:
    assert "graphviz-pure" in [engine.name for engine in engines()]


def test_dot_is_preferred() -> None:
    assert find_engine().name == engines()[0].name
    if len(engines()) == 2:
        assert find_engine().name == "dot"


def test_without_a_program_the_error_says_how_to_get_one(monkeypatch) -> None:
    monkeypatch.setattr(module.shutil, "which", lambda *_args, **_kwargs: None)
    with pytest.raises(DiagramError, match=r"pip install graphviz-pure.*dot") as caught:
        render(["digraph {a}"])
    assert isinstance(caught.value, VandocError)


def test_the_port_is_found_beside_the_interpreter_when_path_is_empty(monkeypatch) -> None:
    monkeypatch.setenv("PATH", "")
    assert find_engine().name == "graphviz-pure"
    assert find_engine().path.parent == Path(sys.executable).parent


def test_several_graphs_come_back_in_order(engine: Engine) -> None:
    dots = [f'digraph g{n} {{ node{n} [label="é {n}", pos="0,0"] }}' for n in range(5)]
    drawn = render(dots, engine)
    assert len(drawn) == 5
    for n, svg in enumerate(drawn):
        assert f"node{n}" in svg
        assert f"é {n}" in svg


def test_no_graph_asks_for_no_program() -> None:
    assert render([], Engine("nothing", Path("/nowhere"))) == []


def test_the_error_of_the_layout_program_is_passed_on(engine: Engine) -> None:
    with pytest.raises(DiagramError, match=r"(?i)syntax error"):
        render(["digraph {a -> }"], engine)


def program(folder: Path, lines: str) -> Engine:
    path = folder / "program"
    path.write_text(f"#!{sys.executable}\n{lines}\n")
    path.chmod(path.stat().st_mode | stat.S_IXUSR)
    return Engine("program", path)


def test_an_answer_that_is_too_short_is_an_error(tmp_path: Path) -> None:
    engine = program(tmp_path, "import sys; sys.stdin.read(); print('<?xml version=\"1.0\"?><svg></svg>')")
    with pytest.raises(DiagramError, match="drew 1 of 2"):
        render(["digraph {a}", "digraph {b}"], engine)


def test_a_program_that_hangs_is_stopped(tmp_path: Path, monkeypatch) -> None:
    monkeypatch.setattr(module, "TIMEOUT_S", 0.5)
    engine = program(tmp_path, "import time; time.sleep(60)")
    with pytest.raises(DiagramError, match=r"within 0\.5 s"):
        render(["digraph {a}"], engine)


def test_a_program_that_cannot_be_run_is_an_error(tmp_path: Path) -> None:
    with pytest.raises(DiagramError, match="cannot be run"):
        render(["digraph {a}"], Engine("program", tmp_path / "missing"))


@pytest.mark.parametrize("answer", ["<svg", "<svg xmlns='http://www.w3.org/2000/svg'/>", "no drawing"])
def test_an_answer_that_is_no_drawing_is_an_error(answer: str) -> None:
    with pytest.raises(DiagramError, match="layout program"):
        finished(answer, "s", "t", "")
