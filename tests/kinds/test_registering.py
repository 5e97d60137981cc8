"""A kind of others is known while it is registered, and never takes the place of one of ours."""

import inspect
from pathlib import Path

import pytest

from tests.kinds.run_on_timer import RunOnTimer
from vandoc.doors.build import read
from vandoc.ground.errors import SystemFileError
from vandoc.model.equipment import Switch
from vandoc.model.kinds import kinds, register, with_kind
from vandoc.reading.schema import json_schema

FILE = Path(__file__).with_name("van.yml")


def test_a_van_file_may_name_a_kind_only_while_it_is_registered():
    assert "run-on-timer" not in kinds()
    with pytest.raises(SystemFileError, match="'run-on-timer' is not a kind of equipment"):
        read(FILE)
    with with_kind(RunOnTimer):
        assert "RunOnTimer" in json_schema()["$defs"]
        assert isinstance(read(FILE).system.equipment["timer"], RunOnTimer)
    assert "RunOnTimer" not in json_schema()["$defs"]


def test_a_kind_of_ours_is_not_replaced():
    with pytest.raises(ValueError, match="there is a kind 'switch' of equipment already"):
        register(Switch)


def test_every_words_file_beside_a_kind_has_its_kind_and_a_name():
    folder = Path(inspect.getfile(kinds()["switch"])).parent
    stems = {path.name.removesuffix(".en.yml") for path in folder.glob("*.en.yml")}
    assert stems == {kind.__module__.rpartition(".")[2] for kind in kinds().values()}
    assert all(kind.words()["name"] for kind in kinds().values())
