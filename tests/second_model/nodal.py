"""Nodal analysis by star-mesh elimination: each node in turn is replaced by a mesh between its neighbours.

Conductances are only added and multiplied, never subtracted, so that 1e-4 ohm beside 1e8 ohm loses no digits
(the idea of Grassmann, Taksar and Heyman, 1985, from memory). Every node also leaks to the reference, as a
meter of 10 Mohm does.
"""

from collections.abc import Mapping

LEAK_S = 1e-7
Pair = tuple[str, str]


def solve(
    branches: Mapping[str, tuple[str, str, float]], injected: Mapping[str, float], reference: str
) -> dict[str, float]:
    """Return the voltage of every node against the reference.

    Parameters
    ----------
    branches : mapping
        Name to (node, node, conductance). [S]
    injected : mapping
        The current that sources push into each node. [A]
    reference : str
    """
    between: dict[str, dict[str, float]] = {reference: {}}
    for a, b, siemens in branches.values():
        if a == b or siemens <= 0:
            continue
        between.setdefault(a, {})
        between.setdefault(b, {})
        between[a][b] = between[a].get(b, 0.0) + siemens
        between[b][a] = between[a][b]
    ground = dict.fromkeys(between, LEAK_S)
    push = {node: injected.get(node, 0.0) for node in between}
    for node, siemens in between.pop(reference).items():
        ground[node] += siemens
        del between[node][reference]
    del ground[reference]

    order: list[tuple[str, dict[str, float], float]] = []
    waiting: dict[int, set[str]] = {}
    for node, near in between.items():
        waiting.setdefault(len(near), set()).add(node)
    degree = {node: len(near) for node, near in between.items()}
    for _ in range(len(between)):
        least = min(number for number, nodes in waiting.items() if nodes)
        node = waiting[least].pop()
        near = between.pop(node)
        total = ground[node] + sum(near.values())
        order.append((node, near, total))
        items = list(near.items())
        for i, (a, one) in enumerate(items):
            share = one / total
            ground[a] += share * ground[node]
            push[a] += share * push[node]
            del between[a][node]
            for b, other in items[i + 1 :]:
                more = share * other
                between[a][b] = between[a].get(b, 0.0) + more
                between[b][a] = between[a][b]
        for a, _one in items:
            now = len(between[a])
            if now != degree[a]:
                waiting[degree[a]].discard(a)
                waiting.setdefault(now, set()).add(a)
                degree[a] = now
    volts = {reference: 0.0}
    for node, near, total in reversed(order):
        volts[node] = (push[node] + sum(siemens * volts[b] for b, siemens in near.items())) / total
    return volts
