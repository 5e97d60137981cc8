"""Crimped lugs were pulled with the force that their size must hold."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.ground.calc.crimp import least_pull
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Word, fail, rule
from vandoc.physics.network.expand import area_in_mm2


@rule(fail("crimp-pull-low"))
def crimps(van: Van) -> Iterator[Breach]:
    """Crimped lugs were pulled with the force that their size must hold."""
    record = van.system.installation
    if record is None or record.pull_test is None:
        return  # the whole record is asked for
    if not record.pulled:
        yield Breach("crimp-pull-low", "installation", ("installation", "pulled"), {}, unknown=True)
    for number, test in enumerate(record.pulled):
        area = area_in_mm2(test.area_mm2) or 0.0
        least, trail = least_pull(area), ("installation", "pulled", number, "force")
        if exceeds(least.newtons, test.force_n):
            words: dict[str, Word] = {"area": Amount(area, "mm²")}
            found, limit = Amount(test.force_n, "N"), Amount(least.newtons, "N")
            yield Breach("crimp-pull-low", "installation", trail, words, found, limit, (least,))
