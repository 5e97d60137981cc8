"""`unknown` in the place of each value of a van file: accepted with its meaning, or refused clearly."""

from collections.abc import Iterator

import pytest
import yaml

from tests.conftest import DEMO_VANS, ROOT
from vandoc.ground.errors import SystemFileError
from vandoc.model.unknowns import unknowns
from vandoc.reading.loader import load

VANS = [*DEMO_VANS, ROOT / "tests/vans/old_fitting/van.yml"]
# Keys whose value is free text: the word means no more there than any other.
FREE = {
    "accepts",
    "access",
    "alt",
    "at",
    "base",
    "batch",
    "body_bonding",
    "by",
    "changeover",
    "control",
    "crimp_tool",
    "designation",
    "do",
    "email",
    "evidence",
    "figures_from",
    "gas_and_fuel_lines",
    "gas_pipe_bonding",
    "handover",
    "hours",
    "id",
    "inspected_by",
    "keep_off",
    "kept_live",
    "label",
    "make",
    "maker",
    "meaning",
    "name",
    "neutral_earth_bond",
    "note",
    "notes",
    "phone",
    "polarity",
    "position",
    "protective_device",
    "pull_test",
    "rcd",
    "rule",
    "seat_and_airbag_wiring",
    "serial",
    "service",
    "shows",
    "standard",
    "subject",
    "tested_with",
    "type",
    "welcome",
    "what",
    "where",
    "why",
    "words",
}
KNOWN_KEYS = {"length", "area", "insulation", "family", "rating", "current", "power", "capacity", "chemistry"}
KNOWN_KEYS |= {"through"}


def leaves(value: object, trail: tuple = ()) -> Iterator[tuple]:
    if isinstance(value, dict):
        for key, child in value.items():
            yield from leaves(child, (*trail, key))
    elif isinstance(value, list) and value and isinstance(value[0], dict):
        for number, child in enumerate(value):
            yield from leaves(child, (*trail, number))
    elif trail[-1] != "id":  # a name that others refer to
        yield trail


def cases() -> Iterator:
    """Each key once for each kind of item that has it."""
    seen = set()
    for van in VANS:
        plain = yaml.safe_load(van.read_text("utf-8"))
        for trail in leaves(plain):
            item = plain
            kinds = []
            for step in trail[:-1]:
                item = item[step]
                kinds.append(item.get("kind", item.get("part", "")) if isinstance(item, dict) else "")
            shape = (trail[0], *kinds, *(step for step in trail[2:] if isinstance(step, str)))
            if shape not in seen:
                seen.add(shape)
                yield pytest.param(van, trail, id=f"{van.parent.name}-{'.'.join(map(str, trail))}")


@pytest.mark.parametrize(("van", "trail"), cases())
def test_it_is_accepted_with_its_meaning_or_refused_in_clear_words(van, trail):
    plain = yaml.safe_load(van.read_text("utf-8"))
    holder = plain
    for step in trail[:-1]:
        holder = holder[step]
    holder[trail[-1]] = "unknown"
    key = next(step for step in reversed(trail) if isinstance(step, str))
    try:
        system = load(van, text=yaml.safe_dump(plain, allow_unicode=True, sort_keys=False)).system
    except SystemFileError as error:
        told = [problem.message for problem in error.problems]
        assert any("unknown" in message for message in told), told
        assert not any("pydantic" in message or "Input should" in message for message in told), told
        return
    asked = [one for one in unknowns(system) if [*map(str, one.trail)] == [*map(str, trail)]]
    assert asked or key in FREE, f"'{key}' takes the word without a meaning"
    assert not asked or key in KNOWN_KEYS
