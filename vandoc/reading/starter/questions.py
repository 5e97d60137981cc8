"""Questions of `vandoc new` and the answers it accepts."""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial
from math import ceil, floor, nan
from typing import Any, Literal, get_args

from vandoc.ground.chemistry import Chemistry, Range, known
from vandoc.ground.measures import M_PER_FT, in_house, measure, measured
from vandoc.ground.messages import Messages

say = Messages("vandoc.reading.starter", "questions").say
Side = Literal["left", "right"]
MOST_INVERTER_W = 5000
MOST_BANK_AH = 560  # of all batteries in parallel; beyond it no usual fuse breaks their short circuit
MOST_AT_12_W = 2500  # of an inverter at 12 V: more does not fit the largest cable
MOST_VENTED_W = 2000  # the same where the cable is sheathed, as beside a vented battery
MOST_PER_AH = 3.2  # current of an inverter for each Ah of the batteries, at which their voltage holds [A]
Regulation = Literal["smart", "fixed", "electric"]


@dataclass(frozen=True)
class Answers:
    """Answers that describe a starter van.

    Attributes
    ----------
    name, base : str
        Name of the van, and the vehicle in general terms.
    nominal_v : int
        12, 24 or 48. [V]
    length_m, width_m : float
    driver : str
    chemistry : str
    capacity_ah : float
        Of each leisure battery. [Ah]
    batteries : int
        Number of leisure batteries in parallel.
    regulation : str
        Alternator regulation, or ``"electric"`` for a base vehicle with a converter in its place.
    solar_w : float
        Rated power of all panels together, 0 if none. [W]
    mains_charger : bool
    inverter_w : float
        Continuous output, 0 if none. [W]
    workshop, phone : str
        Contact for the owner.
    site : str
        Address under which manuals are published; empty if there is none yet.
    """

    name: str = field(default_factory=partial(say, "defaults.name"))
    base: str = field(default_factory=partial(say, "defaults.base"))
    nominal_v: int = 12
    length_m: float = 6.0
    width_m: float = 2.0
    driver: Side = "left"
    chemistry: str = "LiFePO4"
    capacity_ah: float = 100.0
    batteries: int = 1
    regulation: Regulation = "smart"
    solar_w: float = 200.0
    mains_charger: bool = True
    inverter_w: float = 0.0
    workshop: str = field(default_factory=partial(say, "defaults.workshop"))
    phone: str = ""
    site: str = ""


@dataclass(frozen=True)
class Question:
    """One question.

    Attributes
    ----------
    key : str
        Attribute of `Answers` that it sets.
    text : str
        Wording of the question.
    default : str
        Value of an empty answer.
    read : callable
        Converts text to a value; raises ValueError with a message for the user.
    """

    key: str
    text: str
    default: str
    read: Callable[[str], Any]

    @property
    def asked(self) -> str:
        """The wording in the units of the workshop."""
        return in_house(self.text)

    @property
    def usual(self) -> str:
        """The default in the units of the workshop."""
        return f"{measured(float(self.default), 'm')[0]:.3g}" if self.key.endswith("_m") else self.default

    @property
    def option(self) -> str:
        """The option of the command that answers it.

        Examples
        --------
        >>> Question("nominal_v", "", "", str).option
        '--nominal'
        """
        return "--" + re.sub(r"_(?:v|m|ah|w)$", "", self.key).replace("_", "-")


def _refusal(name: str, **values: object) -> ValueError:
    return ValueError(say(f"refusals.{name}", **values))


def _line(longest: int, *, needed: bool) -> Callable[[str], str]:
    def read(text: str) -> str:
        text = text.strip()
        if needed and not text:
            raise _refusal("empty")
        if len(text) > longest or not text.isprintable():
            raise _refusal("line", longest=longest)
        return text

    return read


def _choice(*values: str) -> Callable[[str], str]:
    def read(text: str) -> str:
        for value in values:
            if text.strip().lower() == value.lower():
                return value
        raise _refusal("choice", choices=", ".join(values))

    return read


def starting_of(chemistry: Chemistry, nominal_v: float) -> tuple[Range, Range, Range] | None:
    """Return what a starter van is set to: current of all chargers (1/h), absorption and float voltage (V).

    None if not everything is known that a starter van needs.
    """
    charge = chemistry.start_charge_c
    absorption = chemistry.scaled(chemistry.start_absorption_v, nominal_v)
    floating = chemistry.scaled(chemistry.start_float_v, nominal_v)
    answered = None not in (chemistry.gassing, chemistry.vented, chemistry.plating)
    if charge is None or absorption is None or floating is None or not answered:
        return None
    return charge, absorption, floating


def _chemistry(text: str) -> str:
    return _choice(*(key for key, one in known().items() if starting_of(one, 12)))(text)


def _number(low: float, high: float, unit: str, *, none: bool = False) -> Callable[[str], float]:
    def read(text: str) -> float:
        text = text.strip().lower()
        if none and text in say("words.none").split():
            return 0.0
        match = re.fullmatch(r"(\d{1,6}(?:\.\d{1,6})?)\s*" + f"(?:{unit.lower()})?", text)
        if match is None or not low <= float(match[1]) <= high:
            raise _refusal("number_or_none" if none else "number", low=low, high=high, unit=unit)
        return float(match[1])

    return read


def _length(low_m: float, high_m: float) -> Callable[[str], float]:
    def read(text: str) -> float:
        house = measure("m")
        match = re.fullmatch(r"(\d{1,6}(?:\.\d{1,6})?)\s*(m|ft)?", text.strip().lower())
        metres = (
            nan if match is None else float(match[1]) * (M_PER_FT if (match[2] or house) == "ft" else 1.0)
        )
        if not low_m <= metres <= high_m:
            low, high = ceil(measured(low_m, "m")[0]), floor(measured(high_m, "m")[0])
            raise _refusal("number", low=low, high=high, unit=house)
        return round(metres, 3)

    return read


def _count(low: int, high: int) -> Callable[[str], int]:
    def read(text: str) -> int:
        if not re.fullmatch(r"\d{1,3}", text.strip()) or not low <= int(text) <= high:
            raise _refusal("count", low=low, high=high)
        return int(text)

    return read


def refuse_together(answers: Answers) -> None:
    """Refuse answers that do not go together.

    Raises
    ------
    ValueError
        With a message for the user.
    """
    if answers.batteries * answers.capacity_ah > MOST_BANK_AH:
        raise _refusal("bank", most=MOST_BANK_AH)
    vented = known()[answers.chemistry].vented
    most = round((MOST_VENTED_W if vented else MOST_AT_12_W) * answers.nominal_v / 12)
    if answers.inverter_w > most:
        raise _refusal("inverter", volts=answers.nominal_v, most=most)
    least_ah = answers.inverter_w / answers.nominal_v / MOST_PER_AH
    if answers.batteries * answers.capacity_ah < least_ah:
        raise _refusal("bank_small", least=ceil(least_ah), watts=answers.inverter_w)


def _volts(text: str) -> int:
    return int(_choice("12", "24", "48")(text.strip().removesuffix("V").removesuffix("v").strip()))


def _yes(text: str) -> bool:
    for value, words in ((True, "yes"), (False, "none")):
        if text.strip().lower() in say(f"words.{words}").split():
            return value
    raise _refusal("yes_or_no")


def _site(text: str) -> str:
    text = text.strip()
    if text and not re.fullmatch(r"https?://[A-Za-z0-9.-]+(:\d+)?(/[A-Za-z0-9._~/-]*)?", text[:201]):
        raise _refusal("site")
    return text.rstrip("/")


_READS: dict[str, Callable[[str], Any]] = {
    "name": _line(80, needed=True),
    "base": _line(200, needed=True),
    "nominal_v": _volts,
    "length_m": _length(3, 15),
    "width_m": _length(1, 3),
    "driver": _choice(*get_args(Side)),
    "chemistry": _chemistry,
    "capacity_ah": _number(40, 400, "Ah"),
    "batteries": _count(1, 4),
    "regulation": _choice(*get_args(Regulation)),
    "solar_w": _number(20, 800, "W", none=True),
    "mains_charger": _yes,
    "inverter_w": _number(100, MOST_INVERTER_W, "W", none=True),
    "workshop": _line(80, needed=True),
    "phone": _line(200, needed=False),
    "site": _site,
}


def _default(key: str) -> str:
    """The default as a user would type it."""
    value = getattr(Answers(), key)
    if isinstance(value, bool):
        return say("words.yes" if value else "words.none").split()[0]
    if isinstance(value, float):
        return f"{value:g}" if value else say("words.none").split()[0]
    return str(value)


QUESTIONS: tuple[Question, ...] = tuple(
    Question(key, say(f"questions.{key}"), _default(key), read) for key, read in _READS.items()
)
