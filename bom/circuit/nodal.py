"""Nodal analysis of a small network: the volts of every net, given what holds some of them and what conducts between.

One net after another is taken out, its star of conductances replaced by the mesh that equals it between its neighbours;
then the volts are found on the way back. Conductances are only ever added and multiplied, so nothing cancels, and a net
that nothing holds has no volts. Source: star-mesh transformation (A. Rosen, 1924), from memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import combinations

Conductor = tuple[str, str, float]
"""Two nets and the siemens between them."""


def potentials(held: Mapping[str, float], conductors: Iterable[Conductor]) -> dict[str, float]:
    """The volts of each net that a held one reaches; ``held`` is in volts, conductances are in siemens, above 0.

    >>> potentials({"VB": 12.0, "GND": 0.0}, [("VB", "M", 0.5), ("M", "GND", 0.25)])["M"]
    8.0
    """
    mesh = _mesh(conductors)
    taken: list[tuple[str, dict[str, float]]] = []
    free = mesh.keys() - held.keys()
    while free:
        net = min(free, key=lambda n: (len(mesh[n]), n))
        free.remove(net)
        taken.append((net, _take_out(mesh, net)))
    volts = dict(held)
    for net, star in reversed(taken):
        reached = [(g, volts[other]) for other, g in star.items() if other in volts]
        if reached:
            volts[net] = sum(g * v for g, v in reached) / sum(g for g, _ in reached)
    return volts


def _mesh(conductors: Iterable[Conductor]) -> dict[str, dict[str, float]]:
    mesh: dict[str, dict[str, float]] = {}
    for a, b, siemens in conductors:
        if a != b:
            _add(mesh, a, b, siemens)
    return mesh


def _add(mesh: dict[str, dict[str, float]], a: str, b: str, siemens: float) -> None:
    for one, other in ((a, b), (b, a)):
        star = mesh.setdefault(one, {})
        star[other] = star.get(other, 0.0) + siemens


def _take_out(mesh: dict[str, dict[str, float]], net: str) -> dict[str, float]:
    """Remove a net and join its neighbours as it joined them; the star that it was."""
    star = mesh.pop(net)
    for other in star:
        del mesh[other][net]
    total = sum(star.values())
    for (a, g), (b, h) in combinations(star.items(), 2):
        _add(mesh, a, b, g * h / total)
    return star
