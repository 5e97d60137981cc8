"""The workshop file is sought in the folders above a van file, and no further than is sensible."""

from pathlib import Path

import pytest

from vandoc.reading.workshop import find
from vandoc.reading.workshop.finding import NEAR


@pytest.fixture
def van(tmp_path: Path) -> Path:
    path = tmp_path / "shop/vans/teal/van.yml"
    path.parent.mkdir(parents=True)
    path.write_text("van: {}\n")
    return path


def put(folder: Path) -> Path:
    (folder / "workshop.yml").write_text("name: A\n")
    return folder / "workshop.yml"


def test_there_need_be_none(van):
    assert find(van) is None


@pytest.mark.parametrize("above", range(3))
def test_it_is_found_in_the_folder_of_the_van_and_above(van, above):
    there = put(van.parents[above])
    assert find(van) == there


def test_the_nearest_one_is_used(van):
    put(van.parents[2])
    there = put(van.parents[1])
    assert find(van) == there


def test_the_search_follows_the_real_folder_of_the_van(van, tmp_path):
    there = put(van.parents[1])
    (tmp_path / "here").symlink_to(van.parent)
    put(tmp_path)
    assert find(tmp_path / "here/van.yml") == there


def test_a_relative_path_is_enough(van, monkeypatch):
    monkeypatch.chdir(van.parent)
    there = put(van.parents[1])
    assert find(Path("van.yml")) == there


@pytest.mark.parametrize("kind", ["folder", "file"])
def test_it_ends_at_a_folder_under_version_control(van, kind):
    put(van.parents[2])
    mark = van.parents[1] / ".git"
    mark.mkdir() if kind == "folder" else mark.write_text("gitdir: elsewhere\n")
    assert find(van) is None
    there = put(van.parents[1])
    assert find(van) == there, "that folder itself is searched"


def test_it_ends_at_home(van, monkeypatch):
    put(van.parents[2])
    monkeypatch.setenv("HOME", str(van.parents[1]))
    assert find(van) is None


def test_it_ends_before_a_folder_in_which_everyone_may_create_files(van):
    put(van.parents[2])
    van.parents[2].chmod(0o1777)
    assert find(van) is None
    van.parents[2].chmod(0o755)
    assert find(van) == van.parents[2] / "workshop.yml"


def test_it_ends_after_a_few_folders(tmp_path):
    put(tmp_path)
    folders = [f"f{number}" for number in range(NEAR)]
    deep = tmp_path.joinpath(*folders)
    deep.mkdir(parents=True)
    assert find(deep / "van.yml") is None
    assert find(deep.parent / "van.yml") == tmp_path / "workshop.yml"


def test_a_link_that_leads_nowhere_is_found_so_that_it_is_told(van):
    (van.parents[1] / "workshop.yml").symlink_to("nowhere.yml")
    assert find(van) == van.parents[1] / "workshop.yml"
