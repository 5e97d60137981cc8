"""Where a little more copper helps most against voltage drop."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from vandoc.calc.conductor import STANDARD_AREAS_MM2
from vandoc.sizing.results import Drop

ENDS_M = 1.0  # own choice: what the two ends of a cable cost more as it grows, in metres of it


@dataclass(frozen=True)
class Bundle:
    """Open cables that keep one size: the supply and return of a circuit, or one cable alone.

    Attributes
    ----------
    ids : tuple of str
    length_m : float
        Of all together. [m]
    """

    ids: tuple[str, ...]
    length_m: float


def thicken(
    drops: Iterable[Drop],
    bundles: Iterable[Bundle],
    areas: Mapping[str, float],
    ohm_of: Callable[[str, float], float],
) -> dict[str, float]:
    """Return larger sizes that bring every drop within its limit, for little copper.

    One size at a time, the bundle is taken that takes away most excess voltage for each mm²·m of copper, its
    ends counted as a metre. Currents are taken as they are: loads of constant current do not change with the
    cable. Nothing grows for a drop that the largest sizes would leave too large.

    Parameters
    ----------
    drops : iterable of Drop
        Of all circuits; their steps name the cables that they share.
    bundles : iterable of Bundle
    areas : mapping
        The size of each open cable now. [mm²]
    ohm_of : callable
        Resistance of a cable at a size: (id, mm²) to ohm.

    Returns
    -------
    dict
        Cable id to its new size, only those that grow.
    """
    bundles = tuple(bundles)
    sizes = dict(areas)
    most = {i: ohm_of(i, sizes[i]) - ohm_of(i, STANDARD_AREAS_MM2[-1]) for b in bundles for i in b.ids}
    excess: dict[str, float] = {}
    amps: dict[str, dict[str, float]] = {}
    for drop in drops:
        over = drop.supply_v + drop.return_v - drop.limit.percent / 100 * drop.nominal_v
        possible = sum(current * most.get(edge_id, 0.0) for edge_id, current, _ in drop.steps)
        if 0 < over <= possible:
            excess[drop.owner] = over
            amps[drop.owner] = {edge_id: current for edge_id, current, _ in drop.steps}
    grown: dict[str, float] = {}
    while any(over > 0 for over in excess.values()):
        best: tuple[float, Bundle, float, dict[str, float]] | None = None
        for bundle in bundles:
            area = max(sizes[ident] for ident in bundle.ids)
            larger = next((a for a in STANDARD_AREAS_MM2 if a > area + 1e-6), None)
            if larger is None:
                continue
            saved_ohm = {i: ohm_of(i, sizes[i]) - ohm_of(i, larger) for i in bundle.ids}
            saved = {
                owner: sum(ohm * amps[owner].get(ident, 0.0) for ident, ohm in saved_ohm.items())
                for owner in excess
            }
            gain = sum(min(saved[owner], over) for owner, over in excess.items() if over > 0)
            merit = gain / ((larger - area) * (bundle.length_m + ENDS_M))
            if gain > 0 and (best is None or merit > best[0]):
                best = (merit, bundle, larger, saved)
        if best is None:
            break
        _, bundle, larger, saved = best
        sizes.update(dict.fromkeys(bundle.ids, larger))
        grown.update(dict.fromkeys(bundle.ids, larger))
        excess = {owner: over - saved[owner] for owner, over in excess.items()}
    return grown
