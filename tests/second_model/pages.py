"""The fault pages of a built manual, read as a person does: steps, what each asks, answers, and ends."""

import re
from dataclasses import dataclass, field
from html.parser import HTMLParser

PREFIX = {"": 1.0, "m": 1e-3, "k": 1e3, "µ": 1e-6}


@dataclass
class Named:
    """A part that a page names, with what may be wrong with it."""

    part: str
    kinds: frozenset[str]


@dataclass
class Choice:
    """One answer of a step: its words, where it leads (0: nowhere), and the parts it names."""

    key: str = ""
    words: str = ""
    onward: int = 0
    named: list[Named] = field(default_factory=list)
    found: bool = False


@dataclass
class Step:
    """One step of a page."""

    number: int
    ask: str
    at: tuple[str, ...]
    during: str
    on: tuple[str, ...]
    lamps: tuple[tuple[str, float], ...]
    end: str
    choices: list[Choice] = field(default_factory=list)
    named: list[Named] = field(default_factory=list)
    heading: str = ""


def steps(html: str) -> dict[int, Step]:
    """Return the steps of a page by number."""
    reader = _Reader()
    reader.feed(html)
    reader.close()
    return reader.steps


def limits(words: str) -> list[float]:
    """Return the figures of an answer before its colon, in V or ohm.

    Examples
    --------
    >>> limits("254 mV to 10.44 V: too high")
    [0.254, 10.44]
    >>> limits("1.84 to 11.91 V: low")
    [1.84, 11.91]
    """
    stated = words.partition(":")[0].replace("\u2212", "-").replace("\u00a0", " ").replace("\u202f", " ")
    found = re.findall(r"(-?\d+(?:\.\d+)?)(?:\s*([mkµ]?)(?:V|A|Ω)\b|\s*%)?", stated)
    unit = found[-1][1] if found else ""
    units = [one[1] if re.search(rf"{re.escape(one[0])}\s*[mkµ]?[VAΩ%]", stated) else unit for one in found]
    return [float(digits) * PREFIX[prefix] for (digits, _), prefix in zip(found, units, strict=True)]


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.steps: dict[int, Step] = {}
        self.step: Step | None = None
        self.choice: Choice | None = None
        self.list: list[str] = []
        self.quiet = 0
        self.heading = False

    def handle_starttag(self, tag: str, pairs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in pairs}
        if tag == "section" and given.get("id", "").startswith("step-"):
            self._begin(given)
        if self.step is None:
            return
        if tag == "svg":
            self.quiet += 1
        elif tag == "h2":
            self.heading = True
        elif tag in ("ul", "ol"):
            self.list.append(given.get("class", ""))
        elif tag == "li" and self.list[-1:] == ["choices"]:
            self.choice = Choice(given.get("data-answer", ""), found="found" in given.get("class", ""))
            self.step.choices.append(self.choice)
        elif tag == "a" and self.choice and given.get("href", "").startswith("#step-"):
            self.choice.onward = int(given["href"].removeprefix("#step-"))
        if "data-part" in given:
            named = Named(given["data-part"], frozenset(given["data-cause"].split(", ")))
            if self.choice is not None:
                self.choice.named.append(named)
            elif self.list[-1:] == ["likely"]:
                self.step.named.append(named)

    def _begin(self, given: dict[str, str]) -> None:
        split = lambda name: tuple(one for one in given.get(name, "").split(", ") if one)  # noqa: E731
        lamps = tuple(
            (device, float(watts))
            for device, watts in (one.split(" ")[:2] for one in map(_plain, split("data-lamp")))
        )
        number = int(given["id"].removeprefix("step-"))
        self.step = self.steps[number] = Step(
            number,
            given.get("data-ask", ""),
            split("data-at"),
            given.get("data-during", "in use"),
            split("data-on"),
            lamps,
            given.get("data-end", ""),
        )
        self.choice, self.list = None, []

    def handle_endtag(self, tag: str) -> None:
        if tag == "svg":
            self.quiet = max(self.quiet - 1, 0)
        elif tag == "section":
            self.step = self.choice = None
        elif tag in ("ul", "ol") and self.list:
            self.list.pop()
            self.choice = None
        elif tag == "h2":
            self.heading = False
        elif tag == "li" and self.list[-1:] == ["choices"]:
            self.choice = None

    def handle_data(self, text: str) -> None:
        if self.step is None or self.quiet:
            return
        if self.choice is not None:
            self.choice.words += text
        elif self.heading:
            self.step.heading += text


def _plain(text: str) -> str:
    return text.replace("\u00a0", " ").replace("\u202f", " ")
