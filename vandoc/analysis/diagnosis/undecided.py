"""The problems of a van with unknown values: those of its analyses, made one.

An answer is possible if it is with any of the values, and a question is asked only if it is the same with all
of them. So a tree leads to the fault whatever the values are; where it cannot, it ends with more causes.
"""

from collections.abc import Container, Sequence
from dataclasses import replace

from vandoc.analysis.diagnosis.gates import IN_ORDER, OFF
from vandoc.analysis.diagnosis.problem import Problem, Question


def joined(each: Sequence[Sequence[Problem]], unreal: frozenset[str]) -> tuple[Problem, ...]:
    """Return the problems of several analyses of one van as one set of problems.

    Parameters
    ----------
    each : sequence of sequence of Problem
        Those of each analysis.
    unreal : frozenset of str
        Items that were only supposed; nothing about them is shown.
    """
    found: dict[str, list[Problem]] = {}
    for problem in (problem for problems in each for problem in problems):
        if not any(name in problem.symptom for name in unreal):
            found.setdefault(problem.symptom, []).append(problem)
    made = (_one(problems, unreal) for problems in found.values())
    return tuple(problem for problem in made if problem.causes)


def _one(problems: Sequence[Problem], unreal: frozenset[str]) -> Problem:
    causes = {cause.id: cause for problem in problems for cause in problem.causes}
    real = {key: one for key, one in causes.items() if not any(name in one.part for name in unreal)}
    shared = [one for one in problems[0].questions if all(one in other.questions for other in problems)]
    possible: dict[tuple[str, str], frozenset[str]] = {}
    for question in shared:
        for cause in real:
            key = question.id, cause
            answers = frozenset(answer for problem in problems for answer in problem.possible.get(key, ()))
            possible[key] = answers or frozenset(question.answers)
    return Problem(
        problems[0].symptom,
        tuple(real.values()),
        tuple(shared),
        possible,
        _first(problems, real),
        tuple(cause for cause in problems[0].discharged if not any(name in cause.part for name in unreal)),
        frozenset.intersection(*(problem.elsewhere for problem in problems)) & real.keys(),
    )


def _first(problems: Sequence[Problem], real: Container[str]) -> Question | None:
    """What is asked first: every answer of any of the analyses, without those about what was supposed."""
    asked = [problem.gates for problem in problems if problem.gates is not None]
    if not asked:
        return None
    every = dict.fromkeys(answer for gate in asked for answer in gate.answers if answer != IN_ORDER)
    answers = [one for one in every if not one.startswith(OFF) or f"left-off {one.removeprefix(OFF)}" in real]
    return replace(asked[0], answers=(*answers, IN_ORDER))
