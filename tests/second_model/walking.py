"""A person walks a fault page of a van that has a fault, and what becomes of it is scored."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from random import Random

from tests.second_model.pages import Choice, Named, Step, limits
from tests.second_model.van import CHARGES, OPEN_OHM, SOUND, Doing, Fault, VanModel, World
from tests.second_model.van_file import Drawing, figure

MOST_STEPS, MOST_NAMED, LOW_CHARGE = 40, 3, 20.0
SCATTER = 0.0015
Pages = Mapping[str, Mapping[int, Step]]


@dataclass(frozen=True)
class Outcome:
    """How one walk ended.

    Attributes
    ----------
    result : str
        ``alone``, ``list``, ``end`` (right, no part), ``wrong``, ``wrong list``, ``wrong end``, ``gave up``.
    """

    symptom: str
    fault: str
    result: str
    steps: int
    way: tuple[str, ...]

    @property
    def located(self) -> bool:
        return self.result in ("alone", "list", "end")


class Person:
    """Someone with a van that has a fault, a meter, and the manual.

    Parameters
    ----------
    drawing : Drawing
    world : World
    fault : Fault
    pick : Random
        Decides noise, and what of several signs is looked up.
    slips : float
        The share of the first questions that are answered wrongly.
    """

    def __init__(
        self, drawing: Drawing, world: World, fault: Fault, pick: Random, slips: float = 0.0
    ) -> None:
        self.drawing, self.world, self.fault, self.pick, self.slips = drawing, world, fault, pick, slips
        self.van, self.sound = VanModel(drawing, world, fault), VanModel(drawing, world)
        self.odd: list[str] = []

    # what is noticed

    def looks_up(self, pages: Pages) -> list[str]:
        """Return the pages that this person opens, one for each kind of sign that the van shows."""
        signs: dict[str, list[str]] = {}
        for symptom in self.signs():
            if symptom in pages:
                signs.setdefault(symptom.partition("-")[0], []).append(symptom)
        if "all" in signs:
            signs.pop("stopped", None)
            signs.pop("weak", None)
        return [self.pick.choice(found) for found in signs.values()]

    def signs(self) -> Iterator[str]:
        yield from self._of_loads()
        yield from self._of_charging()
        yield from self._of_inverters()

    def _of_loads(self) -> Iterator[str]:
        touched = self.fault.touches
        near = {load for load, own in self.drawing.circuit.items() if touched in own or load == touched}
        if self.fault.kind == "comes-and-goes":
            yield from (f"stopped-{load}" for load in near if self.fault.name.endswith(f" {load}"))
            return
        on = frozenset(self.world.on | {self._a_lamp()})
        tried = {load: Doing("in use", on) for load in on} | {
            load: Doing("in use", on | {load}) for load in near - on
        }
        works = {load: self.van.works(load, doing) for load, doing in tried.items()}
        stopped = [load for load, fine in works.items() if not fine and self.sound.works(load, tried[load])]
        if stopped and len(stopped) == len(works) and len(works) > 1:
            yield "all-dead"
        yield from (f"stopped-{load}" for load in stopped)
        for load, fine in works.items():
            lamp = self.drawing.loads[load].get("importance") == "lighting"
            if fine and lamp and self.van.weak(load, tried[load]) and not self.sound.weak(load, tried[load]):
                yield f"weak-{load}"

    def _a_lamp(self) -> str:
        lamps = [name for name, load in self.drawing.loads.items() if load.get("importance") == "lighting"]
        return lamps[0] if lamps else next(iter(self.drawing.loads))

    def _of_charging(self) -> Iterator[str]:
        sources = {piece["source"] for piece in self.drawing.of("charger").values()}
        if self.drawing.of("relay"):
            sources.add("alternator")
        weak = False
        for state, source in CHARGES.items():
            if source not in sources:
                continue
            least = 0.5 if self.drawing.nominal_v < 20 else 0.3
            got, should = (one.solved(Doing(state)).battery_a for one in (self.van, self.sound))
            if got < max(least, 0.08 * should):
                yield f"not-charging-{state.replace(' ', '-')}"
            elif got < 0.5 * should:
                weak = True
        if weak or self.fault.kind == "worn-battery":
            yield f"never-full-{self.drawing.house}"

    def _of_inverters(self) -> Iterator[str]:
        for name in self.drawing.of("inverter"):
            idle = Doing("in use", frozenset({"inverter idles"}))
            if not self.van.works(name, idle):
                yield f"stopped-{name}"
            elif not self.van.works(name, Doing("inverter on")) and self.sound.works(
                name, Doing("inverter on")
            ):
                yield f"cuts-out-{name}"

    # what is answered

    def walk(self, symptom: str, page: Mapping[int, Step]) -> Outcome:
        """Follow a page to its end."""
        number, way = 1, []
        while len(way) < MOST_STEPS:
            step = page[number]
            if step.end:
                return self._scored(symptom, self._of_end(step), way)
            choice = self.answers(symptom, step)
            way.append(f"{step.number} {step.ask} {', '.join(step.at)}: {choice.words if choice else '?'}")
            if choice is None:
                return self._scored(symptom, "gave up", way)
            if choice.named:
                if self._is_low() and all("flat" in one.kinds for one in choice.named):
                    after = [one.onward for one in step.choices if not one.key and one.onward]
                    if self.fault.kind == "flat-battery":
                        return self._scored(symptom, "alone", way)
                    if after:
                        self._charge()
                        number = after[-1]
                        continue
                return self._scored(symptom, self._of_named(choice.named), way)
            if not choice.onward:
                return self._scored(symptom, "gave up", way)
            number = choice.onward
        return self._scored(symptom, "gave up", way)

    def answers(self, symptom: str, step: Step) -> Choice | None:
        """Return the answer that this person gives; None if none fits."""
        if step.ask == "gates":
            return self._of_gates(symptom, step)
        if step.ask == "" or not step.at:
            return step.choices[0] if len(step.choices) == 1 else self._keyed(step, {"no change", "no"})
        ways = {
            "works": self._of_works,
            "light": self._of_light,
            "position": self._of_switch,
            "position-off": self._of_switch,
            "continuity": self._of_ohms,
            "open-contact": self._of_ohms,
            "fuse-look": self._of_fuse,
            "fuse-swap": self._of_swap,
            "charge": self._of_charge,
        }
        if step.ask in ways:
            return ways[step.ask](symptom, step)
        return self._of_reading(step)

    def _keyed(self, step: Step, keys: set[str]) -> Choice | None:
        return next((one for one in step.choices if one.key in keys), None)

    def _of_gates(self, symptom: str, step: Step) -> Choice | None:
        """Go through the answers from the top; a slip chooses any."""
        offered = [one for one in step.choices if one.key]
        if self.slips and self.pick.random() < self.slips:
            return self.pick.choice(offered)
        for choice in offered:
            if choice.key == "low" and self._reads_low(choice):
                return choice
            if choice.key in self.fault.told and choice.key != "low":
                return choice
            if choice.key == "full" and self.world.charge > 93:
                return choice
            if choice.key == "works-alone" and self._works_alone(symptom):
                return choice
        return next((one for one in offered if one.key == "in-order"), None)

    def _reads_low(self, choice: Choice) -> bool:
        if self.drawing.of("monitor"):
            return self.van.world.charge < next(iter(_percent(choice.words)), LOW_CHARGE)
        shows = next((name for name, load in self.drawing.loads.items() if load.get("shows_voltage")), None)
        if shows is None:
            return False
        doing = Doing("in use", frozenset({shows, self._a_lamp()}))
        volts = self.van.solved(doing).across(f"{shows}.+", f"{shows}.-")
        told = [one for one in limits(choice.words.replace(":", ",")) if one > 5]
        return bool(told) and 1.0 < volts < told[0]

    def _works_alone(self, symptom: str) -> bool:
        load = symptom.partition("-")[2]
        return load in self.drawing.loads and self.van.works(load, Doing("in use", frozenset({load})))

    def _doing(self, step: Step) -> Doing:
        on = frozenset(step.on)
        if step.during == "in use" and not on and not step.lamps:
            on = self.world.on
        return Doing(step.during, on, step.lamps)

    def _of_works(self, _symptom: str, step: Step) -> Choice | None:
        load = step.at[0]
        doing = Doing("in use", frozenset(step.on) or frozenset({load}))
        return self._keyed(step, {"yes" if self.van.works(load, doing) else "no"})

    def _of_light(self, _symptom: str, step: Step) -> Choice | None:
        seen = self._light(step.at[0], self._doing(step))
        return self._keyed(step, {seen})

    def _light(self, name: str, doing: Doing) -> str:
        """The answer about a light: that of the first state of its piece that is true now, else dark."""
        piece = {**self.drawing.pieces, **self.drawing.loads}[name]
        if name in self.drawing.loads and name not in doing.on:
            doing = replace(doing, on=doing.on | {name})
        if piece.get("kind") == "inverter" and doing.state == "in use":
            doing = replace(doing, on=doing.on | {"inverter idles"})
        told = [one for one in piece.get("indicators", []) if one.get("pattern") != "off"]
        for one in told:
            if self._is_so(name, one.get("when", ""), doing):
                return f"light {piece['indicators'].index(one) + 1}"
        return "dark"

    def _is_so(self, name: str, when: str, doing: Doing) -> bool:
        solved = self.van.solved(doing)
        if name in self.fault.gone:
            return False
        made = self.van.volts_of(name)
        ends = (f"{name}.+", f"{name}.-") if f"{name}.+" in solved.volts else (f"{name}.out", f"{name}.-")
        across = solved.across(*ends)
        if when == "powered":
            return name not in solved.stopped and across > 0.75 * made
        if when == "low voltage":
            return name in solved.stopped and across > 0.45 * made
        amps = solved.out_a.get(name, 0.0)
        if when == "charging":
            relay = self.drawing.of("relay").get(name)
            if relay is not None:
                lives = not self.fault.gone & set(self.drawing.of("alternator"))
                return doing.state == "driving" and lives
            return name not in solved.stopped and amps > 0.3
        if when == "full":
            return name not in solved.stopped and name in solved.out_a and amps <= 0.3
        return False

    def _of_switch(self, _symptom: str, step: Step) -> Choice | None:
        left = f"off {step.at[0]}" in self.fault.told
        off = left or step.ask == "position-off"
        return self._keyed(step, {"off" if off else "on"})

    def _of_ohms(self, _symptom: str, step: Step) -> Choice | None:
        branch = self._between(*step.at) if len(step.at) == 2 else step.at[0].split(" ")[0]
        ohm = self.fault.ohms.get(branch, 0.0) if branch else OPEN_OHM
        if branch and branch in self.drawing.pieces:
            kind = self.drawing.pieces[branch]["kind"]
            closed = branch in self.fault.shut or (
                kind in ("isolator", "switch") and step.ask == "continuity"
            )
            ohm += 0 if closed or kind in ("shunt", "earth-point", "alternator") else OPEN_OHM
        return self._keyed(step, {"connected" if ohm < 1.0 else "not connected"})

    def _between(self, a: str, b: str) -> str | None:
        """The branch that joins two terminals: a contact, a fuse, or a cable (by the worst of its places)."""
        for number, cable in enumerate(self.drawing.cables):
            if {cable.start, cable.end} == {a, b}:
                return max(
                    (f"{number}{place}" for place in "awb"), key=lambda one: self.fault.ohms.get(one, 0.0)
                )
        for name, (start, end, _) in self.drawing.fuses.items():
            if {start, end} == {a, b}:
                return name
        owners = {a.partition(".")[0], b.partition(".")[0]} & set(self.drawing.pieces)
        return next(iter(sorted(owners)), None)

    def _of_fuse(self, _symptom: str, step: Step) -> Choice | None:
        blown = self.fault.looks_blown and self.fault.touches == step.at[0]
        return self._keyed(step, {"blown" if blown else "intact"})

    def _of_swap(self, _symptom: str, step: Step) -> Choice | None:
        cured = self.fault.touches == step.at[0] and self.fault.kind in ("fuse-blown", "fuse-unseated")
        return self._keyed(step, {"repaired" if cured else "no change"})

    def _of_charge(self, _symptom: str, step: Step) -> Choice | None:
        cured = self.fault.kind == "flat-battery"
        self._charge()
        return self._keyed(step, {"repaired" if cured else "no change"})

    def _of_reading(self, step: Step) -> Choice | None:
        solved = self.van.solved(self._doing(step))
        meter = lambda volts: volts * self.world.gain * (1 + self.pick.gauss(0, SCATTER))  # noqa: E731
        first, second = (*step.at, f"{self.drawing.house}.-")[:2]
        if step.ask == "joint-drop":
            second = self._bare(first, second)
        if first not in solved.volts or second not in solved.volts:
            self.odd.append(f"{step.ask} {step.at}")
            return None
        value = meter(solved.across(first, second))
        if step.ask == "loss":
            house = self.drawing.house
            value = meter(solved.across(f"{house}.+", f"{house}.-")) - value
        elif step.ask != "volts":
            value = abs(value)
        return self._in_band(step, value)

    def _bare(self, spot: str, other: str) -> str:
        """The bare conductor of a cable beside the terminal at which its lug sits."""
        for number, cable in enumerate(self.drawing.cables):
            if (cable.start, cable.end) == (spot, other):
                return f"{number}a end"
            if (cable.end, cable.start) == (spot, other):
                return f"{number}b end"
        return other

    def _in_band(self, step: Step, value: float) -> Choice | None:
        bands = [one for one in step.choices if limits(one.words) and not one.key]
        edges = sorted({edge for one in bands for edge in limits(one.words)})
        place = sum(value >= edge for edge in edges)
        if len(bands) == len(edges) + 1:
            return bands[place]
        self.odd.append(f"{step.ask}: {[one.words for one in bands]}")
        return None

    # what becomes of it

    def _is_low(self) -> bool:
        return self.van.world.charge <= LOW_CHARGE

    def _charge(self) -> None:
        """Charge the battery for a day, and look again."""
        if self.van.world.charge < 80 and self.fault.kind != "flat-battery":
            self.world = replace(self.world, charge=85.0)
            self.van = VanModel(self.drawing, self.world, self.fault)

    def _of_end(self, step: Step) -> str:
        kind = step.end.removeprefix("nothing.")
        if kind in self.fault.ends or (kind == "full" and self.world.charge > 93):
            return "end"
        if step.named:
            return self._of_named(step.named)
        if kind in ("more", "hand-over", "unconfirmed"):
            return "gave up"
        return "wrong end"

    def _of_named(self, named: list[Named]) -> str:
        parts = {frozenset(one.part.split(", ")) for one in named}
        right = any(
            frozenset(one.part.split(", ")) == frozenset(part.split(", "))
            and (not kinds or kinds & one.kinds)
            for one in named
            for part, kinds in self.fault.parts
        )
        if len(parts) == 1:
            return "alone" if right else "wrong"
        return "list" if right and len(parts) <= MOST_NAMED else "wrong list"

    def _scored(self, symptom: str, result: str, way: list[str]) -> Outcome:
        return Outcome(symptom, self.fault.name, result, len(way), tuple(way))


def healthy(drawing: Drawing, world: World, pick: Random, pages: Pages) -> Iterator[Outcome]:
    """Walk every page of a van without a fault; only appliances and lights are seen to be fine again."""
    for symptom, page in pages.items():
        if symptom.startswith("still-"):
            continue  # what stays live with its switch off is never sound
        seen = symptom.startswith(("all-dead", "stopped", "weak", "cuts-out", "light"))
        fault = replace(SOUND, told=frozenset({"still-so"} if seen else ()))
        outcome = Person(drawing, world, fault, pick).walk(symptom, page)
        fine = outcome.result in ("gave up", "end", "wrong end")
        yield replace(outcome, result="end" if fine else outcome.result)


def _percent(words: str) -> list[float]:
    return [float(one) for one in words.replace("\u00a0", " ").replace("%", " % ").split() if _is_number(one)]


def _is_number(text: str) -> bool:
    return bool(text) and figure(text) is not None if text.replace(".", "").isdigit() else False
