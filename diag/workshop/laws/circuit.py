"""Nodal analysis of a circuit of resistances, sources behind a resistance, and set currents."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from diag.model.frozen import frozen

LEAST_OHM = 1e-6


@frozen
class CircuitBranch:
    """Hold a resistance between two nodes with, in series, volts that drive `into` higher."""

    out_of: str
    into: str
    ohm: float
    emf_v: float = 0.0


@frozen
class SetCurrent:
    """Hold a current in A that flows out of one node and into another, whatever the volts."""

    out_of: str
    into: str
    amps: float


def solve(
    branches: Sequence[CircuitBranch], currents: Sequence[SetCurrent], ground: str
) -> Mapping[str, float]:
    """Give the volts of every node against ground.

    Every node must be joined to ground through branches. Source: Kirchhoff's current law at each
    node, solved by elimination.

    >>> divider = [CircuitBranch("0", "a", 1.0, 12.0), CircuitBranch("a", "0", 3.0)]
    >>> round(solve(divider, [], "0")["a"], 9)
    9.0
    """
    place: dict[str, int] = {}
    joins: list[CircuitBranch | SetCurrent] = [*branches, *currents]
    for each in joins:
        for node in (each.out_of, each.into):
            if node != ground and node not in place:
                place[node] = len(place)
    matrix = [[0.0] * len(place) for _ in place]
    right = [0.0] * len(place)
    for branch in branches:
        _stamp(branch, place, matrix, right)
    for current in currents:
        if current.out_of != ground:
            right[place[current.out_of]] -= current.amps
        if current.into != ground:
            right[place[current.into]] += current.amps
    volts = _eliminated(matrix, right)
    return {ground: 0.0, **{node: volts[index] for node, index in place.items()}}


def _stamp(
    branch: CircuitBranch, place: Mapping[str, int], matrix: list[list[float]], right: list[float]
) -> None:
    """Add a branch to the equations of the nodes at both its ends."""
    conductance = 1.0 / max(branch.ohm, LEAST_OHM)
    a, b = place.get(branch.out_of, -1), place.get(branch.into, -1)
    driven = branch.emf_v * conductance
    if a >= 0:
        matrix[a][a] += conductance
        right[a] -= driven
    if b >= 0:
        matrix[b][b] += conductance
        right[b] += driven
    if a >= 0 and b >= 0:
        matrix[a][b] -= conductance
        matrix[b][a] -= conductance


def _eliminated(matrix: list[list[float]], right: list[float]) -> list[float]:
    """Solve a symmetric, diagonally dominant set of equations in place, without pivoting."""
    size = len(right)
    for k in range(size):
        row, pivot = matrix[k], matrix[k][k]
        for i in range(k + 1, size):
            below = matrix[i]
            if below[k] == 0.0:
                continue
            factor = below[k] / pivot
            for j in range(k + 1, size):
                if row[j]:
                    below[j] -= factor * row[j]
            right[i] -= factor * right[k]
    volts = [0.0] * size
    for k in range(size - 1, -1, -1):
        row = matrix[k]
        total = right[k]
        for j in range(k + 1, size):
            if row[j]:
                total -= row[j] * volts[j]
        volts[k] = total / row[k]
    return volts
