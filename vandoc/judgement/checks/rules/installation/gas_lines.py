"""Cables, fuse boxes and switches keep their distance from metal gas pipes."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.ground.data import constant
from vandoc.ground.messages import Messages
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, fail, rule

say = Messages("vandoc.judgement.checks", "phrases").say


@rule(fail("cable-near-gas-pipe"), fail("board-near-gas-pipe"))
def gas_lines(van: Van) -> Iterator[Breach]:
    """Cables, fuse boxes and switches keep their distance from metal gas pipes."""
    record = van.system.installation
    if record is None or record.gas_and_fuel_lines is None:
        return  # the whole record is asked for
    if record.gas_pipe_sleeved or _names_none(record.gas_and_fuel_lines):
        return
    for slug, key, metres, limit in (
        ("cable-near-gas-pipe", "cable_to_gas", record.cable_to_gas_m, constant("cable to gas pipe")),
        ("board-near-gas-pipe", "board_to_gas", record.board_to_gas_m, constant("board to gas pipe")),
    ):
        trail, least = ("installation", key), Amount(1000 * limit.value, "mm")
        if metres is None:
            yield Breach(slug, "installation", trail, {}, None, least, (limit,), unknown=True)
        elif exceeds(limit.value, metres):
            found = Amount(1000 * metres, "mm")
            yield Breach(slug, "installation", trail, {}, found, least, (limit,))


def _names_none(text: str) -> bool:
    """Whether a record says that there is no such pipe."""
    return text.strip(" .").lower() in say("no-gas-pipe").split(", ")
