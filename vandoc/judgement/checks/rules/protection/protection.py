"""Every battery feeds a conductor only through a fuse that is close and small enough to protect it."""

import heapq
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from math import fsum, inf, isfinite, isinf

from vandoc.analysis import Van, exceeds
from vandoc.ground.calc.protection import conductor_limit_factor
from vandoc.ground.calc.solar import design_current_a
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import sizes
from vandoc.judgement.checks.rule import Breach, Word, fail, rule
from vandoc.judgement.checks.shared.capacity import capacity_steps, is_too_hot
from vandoc.physics import limits
from vandoc.physics.network.cuts import Cuts
from vandoc.physics.network.graph import Conductor, Edge, FuseLink, Source, far_end
from vandoc.physics.sizing import SizedConductor


@dataclass(frozen=True)
class _Exposure:
    """An end of a conductor at which a source can exceed its current-carrying capacity."""

    sized: SizedConductor
    near: str
    far: str
    width_a: float

    @property
    def conductor(self) -> Conductor:
        return self.sized.conductor

    @property
    def limit_a(self) -> float:
        return _limit(self.sized)


@dataclass(frozen=True)
class _FarSide:
    """Whatever is connected to the far end of a conductor, up to the next fuses and batteries."""

    small: tuple[FuseLink, ...]
    big: tuple[FuseLink, ...]
    devices: bool
    batteries: bool

    @property
    def protects(self) -> bool:
        """Whether only fuses that protect the conductor, or a battery terminal, follow."""
        return bool(self.small or self.batteries) and not self.big and not self.devices


@dataclass(frozen=True)
class _Length:
    """The unprotected length up to the far end of a conductor."""

    metres: float
    permitted_m: float
    source: str
    from_memory: bool


def _limit(sized: SizedConductor) -> float:
    """Return its capacity; infinite if no basis gives one, so that only a missing fuse is reported. [A]"""
    return sized.capacity_a if sized.capacities else inf


@rule(
    fail("no-fuse"),
    fail("fuse-too-far", sizes.nearer),
    fail("fuse-above-capacity", sizes.smaller_fuse, sizes.stronger),
    fail("source-above-capacity", sizes.stronger),
)
def protection(van: Van) -> Iterator[Breach]:
    """Every battery feeds a conductor only through a fuse that is close and small enough to protect it.

    The conductor carries the maximum output of all other sources.
    """
    exposures = _exposures(van)
    for sized in van.supplies:
        if sized.conductor.id not in exposures:
            yield from _limited_sources(van, sized)
    for found in exposures.values():
        yielded = set()
        for exposure in found:
            breach = _judge(van, exposure, exposures)
            if breach and breach.rule not in yielded:
                yielded.add(breach.rule)
                yield breach


def _exposures(van: Van) -> dict[str, list[_Exposure]]:
    found: dict[str, list[_Exposure]] = {}
    for sized in van.supplies:
        conductor, limit = sized.conductor, _limit(sized)
        best = van.widest.best
        highest = max(best.get(conductor.start, 0.0), best.get(conductor.end, 0.0))
        if is_too_hot(sized) or not (isinf(highest) or exceeds(highest, limit)):
            continue
        widths = van.widest.without(conductor)
        ends = ((conductor.start, conductor.end), (conductor.end, conductor.start))
        exposed = [
            _Exposure(sized, near, far, width)
            for (near, far), width in zip(ends, widths, strict=True)
            if isinf(width) or exceeds(width, limit)
        ]
        if exposed:
            found[conductor.id] = exposed
    return found


def _judge(van: Van, exposure: _Exposure, exposures: Mapping[str, list[_Exposure]]) -> Breach | None:
    beyond = _beyond(van, exposure, exposures)
    fused = isfinite(exposure.width_a)
    if fused and exposure.sized.decided == "none fits":
        return None  # no size is enough: the capacity rule reports it
    conductor = exposure.conductor
    words: dict[str, Word] = {
        "cable": conductor.id,
        "battery": _fed_by(van, exposure),
        "end": exposure.near,
    }
    if fused and not beyond.protects:
        return _above_capacity(van, exposure, _fuse_on_the_way(van, exposure), words)
    length = _exposed_length(van, exposure, exposures)
    if beyond.protects and not exceeds(length.metres, length.permitted_m):
        return None
    if fused:
        return _above_capacity(van, exposure, _fuse_on_the_way(van, exposure), words)
    if beyond.big and not beyond.devices:
        return _above_capacity(van, exposure, beyond.big[0], words)
    subject, distance = van.subject(conductor), (Amount(length.metres, "m"), Amount(length.permitted_m, "m"))
    if not beyond.small or beyond.devices:
        return Breach("no-fuse", subject, conductor.trail, words, *distance, cited=(length,))
    words["fuse"] = ", ".join(van.fuse_name(link) for link in beyond.small)
    return Breach("fuse-too-far", subject, conductor.trail, words, *distance, cited=(length,))


def _above_capacity(van: Van, exposure: _Exposure, link: FuseLink, words: dict[str, Word]) -> Breach:
    sized = exposure.sized
    stated = conductor_limit_factor("33 CFR 183.425")
    rating = van.ratings[link.id]
    return Breach(
        "fuse-above-capacity",
        van.subject(exposure.conductor),
        exposure.conductor.trail,
        {
            **words,
            "fuse": van.fuse_name(link),
            "size": sized.size,
            "stated_source": stated.stated_source,
            "stated_factor": Amount(stated.stated_factor),
            "stated_limit": Amount(stated.stated_factor * sized.capacity_a, "A"),
        },
        Amount(rating, "A"),
        Amount(sized.capacity_a, "A"),
        cited=(conductor_limit_factor(van.system.van.basis), sized.capacities[0]),
        steps=capacity_steps(sized),
    )


def _fed_by(van: Van, exposure: _Exposure) -> str:
    """Return the batteries that can overload the conductor from this end."""
    conductor = exposure.conductor
    owners = []
    for battery in van.network.batteries():
        at_start, at_end = van.widest_of[battery.plus].without(conductor)
        width = at_start if exposure.near == conductor.start else at_end
        if isinf(width) or exceeds(width, exposure.limit_a):
            owners.append(battery.owner)
    return van.names(owners)


def _fuse_on_the_way(van: Van, exposure: _Exposure) -> FuseLink:
    """Return the fuse that limits the current on the worst path from a battery to this end."""

    def passes(edge: Edge) -> bool:
        if isinstance(edge, FuseLink):
            return van.ratings[edge.id] >= exposure.width_a
        return edge.id != exposure.conductor.id

    posts = [battery.plus for battery in van.network.batteries()]
    way = van.network.path(posts, exposure.near, passes) or []
    return min((e for e in way if isinstance(e, FuseLink)), key=lambda link: van.ratings[link.id])


def _beyond(van: Van, exposure: _Exposure, exposures: Mapping[str, list[_Exposure]]) -> _FarSide:
    network, limit = van.network, exposure.limit_a
    posts = {battery.plus for battery in network.batteries()}

    def passes(edge: Edge) -> bool:
        if isinstance(edge, FuseLink) or edge.id == exposure.conductor.id:
            return False
        # A smaller cable that is unprotected itself is a fault of its own, and fails first.
        return not (edge.id in exposures and exposures[edge.id][0].limit_a < limit)

    region, todo = {exposure.far}, [exposure.far]
    while todo:
        node = todo.pop()
        if node in posts:
            continue
        for edge in network.at(node):
            other = far_end(edge, node)
            if other not in region and passes(edge):
                region.add(other)
                todo.append(other)
    open_nodes = region - posts
    links = list(
        {e.id: e for n in sorted(open_nodes) for e in network.at(n) if isinstance(e, FuseLink)}.values()
    )
    links.sort(key=lambda link: van.network.fuse_order[link.id])
    small = tuple(link for link in links if not exceeds(van.ratings[link.id], limit))
    big = sorted(set(links) - set(small), key=lambda link: -van.ratings[link.id])
    devices = not van.network.device_terminals.isdisjoint(open_nodes)
    return _FarSide(small, tuple(big), devices, bool(region & posts))


def _exposed_length(van: Van, exposure: _Exposure, exposures: Mapping[str, list[_Exposure]]) -> _Length:
    """Return its length plus that of the unprotected cables upstream, back to the start of the exposure.

    The exposure starts at a battery terminal. If fuses limit the current, but not enough for this cable, it
    can also start at the load side of a fuse or of a protected cable.
    """
    own = exposure.conductor
    is_start = _starts(van, exposure, exposures)
    best: set[str] = set()
    heap = [
        (0.0, True, exposure.near)
    ]  # walked from its near end, so that the walk ends at the nearest start
    before, sheathed = 0.0, True
    while heap:
        metres, kept, node = heapq.heappop(heap)
        if node in best:
            continue
        if is_start(node):
            before, sheathed = metres, kept
            break
        best.add(node)
        for edge in van.network.at(node):
            if edge.id == own.id or isinstance(edge, FuseLink):
                continue
            bare = edge if isinstance(edge, Conductor) and edge.id in exposures else None
            cost, covered = (bare.length_m, bare.sheathed) if bare else (0.0, True)
            heapq.heappush(heap, (metres + cost, kept and covered, far_end(edge, node)))
    permitted = limits.unprotected(van.system, sheathed=sheathed and own.sheathed)
    return _Length(before + own.length_m, permitted.distance_m, permitted.source, permitted.from_memory)


def _starts(van: Van, exposure: _Exposure, exposures: Mapping[str, list[_Exposure]]) -> Callable[[str], bool]:
    """Return a test for nodes at which the unprotected length starts: the terminals of batteries.

    If fuses limit the current, it also starts at the load side (seen from the batteries) of a fuse too large
    for this cable and of a protected cable.
    """
    own = exposure.conductor
    posts = {battery.plus for battery in van.network.batteries()}
    if not isfinite(exposure.width_a):
        return lambda node: node in posts
    bridge = van.cuts.is_bridge(own)
    cuts = van.cuts if bridge else Cuts(van.network, posts, own)

    def limits(edge: Edge) -> bool:
        if isinstance(edge, FuseLink):
            return exceeds(van.ratings[edge.id], exposure.limit_a)
        return isinstance(edge, Conductor) and edge.id not in exposures

    def is_start(node: str) -> bool:
        if node in posts:
            return True
        if bridge and cuts.is_beyond(own, node):
            return False
        nearer = (far_end(edge, node) for edge in van.network.at(node) if limits(edge) and edge.id != own.id)
        return any(cuts.reaches(near, around=node) for near in nearer)

    return is_start


def _limited_sources(van: Van, sized: SizedConductor) -> Iterator[Breach]:
    """A conductor carries the maximum output of each alternator, charger, converter or solar array."""
    conductor = sized.conductor
    if is_too_hot(sized) or not sized.capacities or exceeds(sized.design_a, sized.capacity_a):
        return  # reported by the insulation or capacity rule
    found = [(_sends(van, sized, source), source) for source in van.network.sources if source.limit_a]
    solar = [(amps, source) for amps, source in found if source.kind == "solar" and amps]
    worst = [(amps, [source]) for amps, source in found if source.kind != "solar"]
    worst.append((fsum(amps for amps, _ in solar), [source for _, source in solar]))
    amps, sources = max(worst, key=lambda pair: pair[0])
    if not exceeds(amps, sized.capacity_a):
        return
    margin = constant("photovoltaic current margin")
    yield Breach(
        "source-above-capacity",
        van.subject(conductor),
        conductor.trail,
        {
            "cable": conductor.id,
            "source": van.names(source.owner for source in sources),
            "size": sized.size,
        },
        Amount(amps, "A"),
        Amount(sized.capacity_a, "A"),
        cited=(sized.capacities[0], *([margin] if sources[0].kind == "solar" else [])),
        steps=capacity_steps(sized),
    )


def _sends(van: Van, sized: SizedConductor, source: Source) -> float:
    """Return the maximum current from one source into a cable before a fuse blows. [A]"""
    conductor, limit = sized.conductor, source.limit_a or 0.0
    if source.kind == "solar":
        limit = design_current_a(limit)
    elif limit <= sized.capacity_a:
        return 0.0
    return min(limit, max(van.widest_of[source.plus].without(conductor)))
