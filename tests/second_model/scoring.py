"""Walks counted: shares with their 95 % interval."""

from collections import Counter
from collections.abc import Iterable
from math import sqrt

from tests.second_model.walking import Outcome

Z = 1.96
RESULTS = ("alone", "list", "end", "wrong", "wrong list", "wrong end", "gave up")


def wilson(part: int, whole: int) -> tuple[float, float, float]:
    """Return a share and the ends of its 95 % interval (Wilson, J. Am. Stat. Assoc. 22, 1927). [%]

    Examples
    --------
    >>> [round(one, 1) for one in wilson(8, 10)]  # Newcombe, Stat. Med. 17, 1998, from memory: 49.0 to 94.3
    [80.0, 49.0, 94.3]
    """
    p = part / whole
    middle = (p + Z * Z / (2 * whole)) / (1 + Z * Z / whole)
    half = Z * sqrt(p * (1 - p) / whole + Z * Z / (4 * whole * whole)) / (1 + Z * Z / whole)
    return 100 * p, 100 * (middle - half), 100 * (middle + half)


def kind_of(symptom: str) -> str:
    """The kind of a symptom, by which walks are counted."""
    kinds = (
        "not-charging-driving",
        "not-charging-on-hook-up",
        "not-charging-sun-only",
        "never-full",
        "all-dead",
        "cuts-out",
        "stopped",
        "weak",
        "light",
        "still-on",
        "still-charging",
        "starter-flat",
    )
    return next(kind for kind in kinds if symptom.startswith(kind))


def lines(title: str, outcomes: Iterable[Outcome]) -> list[str]:
    """Return the table of some walks, one line for each kind of symptom and one for all."""
    outcomes = list(outcomes)
    groups: dict[str, list[Outcome]] = {"all": outcomes}
    for one in outcomes:
        groups.setdefault(kind_of(one.symptom), []).append(one)
    text = []
    for kind, walks in groups.items():
        counts = Counter(one.result for one in walks)
        located = sum(one.located for one in walks)
        rest = ", ".join(f"{name} {counts[name]}" for name in RESULTS if counts[name])
        steps = sum(one.steps for one in walks) / len(walks)
        text.append(
            f"{title} {kind}: {len(walks)} walks, located {share(located, len(walks))}, "
            f"wrong alone {share(counts['wrong'], len(walks))}; {rest}; {steps:.1f} steps, "
            f"longest {max(one.steps for one in walks)}"
        )
    return text


def share(part: int, whole: int) -> str:
    percent, low, high = wilson(part, whole)
    return f"{percent:.1f} % ({low:.1f} to {high:.1f})"
