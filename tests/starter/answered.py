"""Sets of answers to `vandoc new`: every choice crossed with the ends of the numbers, and random ones."""

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from itertools import product
from pathlib import Path
from random import Random

from vandoc.analysis import Van
from vandoc.ground.chemistry import known
from vandoc.judgement.checks import Finding, run
from vandoc.reading.loader import load
from vandoc.reading.starter import QUESTIONS, Answers, refuse_together, van_text
from vandoc.reading.starter.questions import MOST_BANK_AH, starting_of

STARTING = tuple(key for key, chemistry in known().items() if starting_of(chemistry, 12))
_READ = {question.key: question.read for question in QUESTIONS}
CHOICES = {
    "nominal_v": ("12", "24", "48"),
    "chemistry": STARTING,
    "regulation": ("smart", "fixed", "electric"),
    "mains_charger": ("yes", "no"),
    "driver": ("left", "right"),
}
NUMBERS = {  # lowest, default and highest, and none where that is an answer
    "capacity_ah": ("40", "100", "400"),
    "solar_w": ("none", "20", "200", "800"),
    "inverter_w": ("none", "100", "2500"),
    "length_m": ("3", "6", "15"),
    "width_m": ("1", "2", "3"),
}


def _answers(typed: dict[str, str]) -> Answers:
    return suited(Answers(**{key: _READ[key](text) for key, text in typed.items()}))


def suited(answers: Answers) -> Answers:
    """Return the answers with the largest inverter, up to theirs, that `vandoc new` takes with them."""
    for watts in (answers.inverter_w, 2000.0, 1500.0):
        found = replace(answers, inverter_w=min(watts, answers.inverter_w))
        with suppress(ValueError):
            refuse_together(found)
            return found
    raise AssertionError(answers)


def crossed() -> Iterator[Answers]:
    """Yield every choice with every end of a number that sizes depend on; the size of the van goes along."""
    sizing = ("capacity_ah", "solar_w", "inverter_w")
    keys = (*(key for key in CHOICES if key != "driver"), *sizing)
    for number, row in enumerate(product(*({**CHOICES, **NUMBERS}[key] for key in keys))):
        along = {key: NUMBERS[key][number % 3] for key in ("length_m", "width_m")}
        along["batteries"] = str(1 + number % most_batteries(float(row[keys.index("capacity_ah")])))
        yield _answers(
            {**dict(zip(keys, row, strict=True)), **along, "driver": CHOICES["driver"][number % 2]}
        )


def random_sets(seed: int, count: int) -> Iterator[Answers]:
    """Yield sets of random choices and random numbers within what the questions take."""
    random = Random(seed)
    for _ in range(count):
        typed = {key: random.choice(values) for key, values in CHOICES.items()}
        for key, values in NUMBERS.items():
            low, *_, high = (float(value) for value in values if value != "none")
            none = "none" in values and random.random() < 0.25
            typed[key] = "none" if none else f"{random.uniform(low, high):.1f}"
        typed["batteries"] = str(random.randint(1, most_batteries(float(typed["capacity_ah"]))))
        yield _answers(typed)


def most_batteries(capacity_ah: float) -> int:
    """Return how many batteries of a capacity a starter van may have."""
    return min(4, int(MOST_BANK_AH // capacity_ah))


def fails(answers: Answers, folder: Path) -> list[Finding]:
    """Return what fails in the van that is written from these answers."""
    (folder / "van.yml").write_text(van_text(answers, "k3x9-token"), "utf-8")
    found = run(Van.of(load(folder / "van.yml", folder)))
    return [finding for finding in found if finding.severity == "fail"]
