"""Supplies fed from the same network: input power, output power and loss."""

from collections.abc import Sequence

from vandoc.ground.calc.ports import Mode, PowerPort, SupplyPort


class NoBalanceError(ValueError):
    """No operating point was found."""


def feed(
    feeds: Sequence[tuple[SupplyPort, PowerPort, Mode]],
    answers: Sequence[Sequence[float]],
    before: Sequence[float],
    after: list[float],
) -> bool:
    """Adjust the power of inlets to the output of their supplies by a Newton step.

    Parameters
    ----------
    feeds : sequence
        Supply, inlet and mode of each.
    answers : sequence of sequence of float
        For each inlet, the change of each junction voltage with its power. [V/W]
    before, after : sequence of float
        Voltages before and after a step that kept the inlet power constant; `after` is changed. [V]

    Returns
    -------
    bool
        Whether any inlet power changed.

    Raises
    ------
    NoBalanceError
        If supplies feed each other in an endless loop.

    Examples
    --------
    >>> feed([], [], [0.0], [0.0])
    False
    """
    rows, lacking = [], []
    for number, (limited, power, mode) in enumerate(feeds):
        assert limited.supply.inlet is not None
        plus, minus, efficiency = limited.plus, limited.minus, limited.supply.inlet.efficiency
        watts, slope = limited.output(before[plus] - before[minus], mode)
        risen = after[plus] - after[minus] - before[plus] + before[minus]
        row = [-slope / efficiency * (answer[plus] - answer[minus]) for answer in answers]
        row[number] += 1.0
        lacking.append((watts + slope * risen) / efficiency - power.watts)
        rows.append([*row, lacking[-1]])
    changes = _solve(rows)
    if any(change * lack < 0 for change, lack in zip(changes, lacking, strict=True)):
        changes = lacking  # an output that supports its own inlet: go to where it reaches its limit
    moved = False
    for change, answer, (_, power, _) in zip(changes, answers, feeds, strict=True):
        change = max(change, -power.watts)
        moved = moved or abs(change) > 1e-9 * max(1.0, power.watts)
        power.watts += change
        for node, value in enumerate(answer):
            after[node] += change * value
    return moved


def _solve(rows: list[list[float]]) -> list[float]:
    """Solve a small system of linear equations, with the right-hand side last in each row."""
    count = len(rows)
    for column in range(count):
        pivot = max(range(column, count), key=lambda row: abs(rows[row][column]))
        rows[column], rows[pivot] = rows[pivot], rows[column]
        top = rows[column][column]
        if not top:
            raise NoBalanceError("inlets and outlets feed each other without end")
        rows[column] = [value / top for value in rows[column]]
        for row in range(count):
            if row != column:
                factor = rows[row][column]
                rows[row] = [a - factor * b for a, b in zip(rows[row], rows[column], strict=True)]
    return [row[-1] for row in rows]
