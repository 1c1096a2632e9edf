"""The circuit solver against linear algebra from outside, and laws of any supply."""

from __future__ import annotations

from itertools import pairwise
from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.workshop import Fault, Heater, apply_fault
from diag.workshop.laws.battery import resistance_ohm, rest_v
from diag.workshop.laws.circuit import CircuitBranch, SetCurrent, solve
from diag.workshop.laws.supply import NODES, Draw, Jumper, cable_ohm, supplied
from tests.workshop.shipped import small


def _random_circuit(random: Random) -> tuple[list[CircuitBranch], list[SetCurrent]]:
    """Make a connected circuit: a tree to ground, then branches and currents anywhere."""
    nodes = [f"n{i}" for i in range(random.randint(1, 12))]
    places = ["ground", *nodes]

    def branch(a: str, b: str) -> CircuitBranch:
        emf = random.choice((0.0, random.uniform(-30.0, 30.0)))
        return CircuitBranch(a, b, 10.0 ** random.uniform(-3.0, 5.0), emf)

    branches = [branch(random.choice(places[: i + 1]), node) for i, node in enumerate(nodes)]
    branches += [branch(*random.sample(places, 2)) for _ in range(random.randint(0, 15))]
    currents = [
        SetCurrent(*random.sample(places, 2), random.uniform(-20.0, 20.0))
        for _ in range(random.randint(0, 4))
    ]
    return branches, currents


def _by_numpy(
    branches: list[CircuitBranch], currents: list[SetCurrent], ground: str = "ground"
) -> dict[str, float]:
    """Solve by the incidence matrix: (A G A') v = A G e + i, all of it numpy's."""
    nodes = sorted({n for b in branches for n in (b.out_of, b.into)} - {ground})
    incidence = np.zeros((len(nodes), len(branches)))
    injected = np.zeros(len(nodes))
    for column, each in enumerate(branches):
        for node, sign in ((each.into, 1.0), (each.out_of, -1.0)):
            if node != ground:
                incidence[nodes.index(node), column] += sign
    for current in currents:
        for node, sign in ((current.into, 1.0), (current.out_of, -1.0)):
            if node != ground:
                injected[nodes.index(node)] += sign * current.amps
    conductance = np.diag([1.0 / each.ohm for each in branches])
    emf = np.array([each.emf_v for each in branches])
    matrix = incidence @ conductance @ incidence.T
    volts = np.linalg.solve(matrix, incidence @ conductance @ emf + injected)
    return {ground: 0.0, **dict(zip(nodes, volts, strict=True))}


def test_a_thousand_random_circuits_are_solved_as_by_numpy() -> None:
    """Node volts equal those of an incidence-matrix solution by numpy's own solver."""
    random = Random(4)
    for _ in range(1000):
        branches, currents = _random_circuit(random)
        expected = _by_numpy(branches, currents)
        actual = solve(branches, currents, "ground")
        assert expected == pytest.approx(actual, rel=1e-6, abs=1e-6)


def _draw() -> Draw:
    return Draw(electronics_a=0.1, plug_share=1.0, plug_ohm=1.3, fan_share=0.5, fan_ohm=2.0)


SERIES = (
    ("positive joint", "resistance"),
    ("fuse", "holder"),
    ("isolator", "contact"),
    ("supply connector", "positive pin"),
    ("supply connector", "negative pin"),
    ("negative joint", "resistance"),
    ("battery", "resistance"),
)


@settings(max_examples=100)
@given(
    place=st.sampled_from(SERIES),
    less=st.floats(0.0, 2.0),
    more=st.floats(0.0, 2.0),
)
def test_more_resistance_never_gives_the_unit_more_volts(
    place: tuple[str, str], less: float, more: float
) -> None:
    """Whatever stands in series with the loads, more of it leaves the unit no more volts."""
    seen = [
        supplied(apply_fault(small(), Fault(*place, "becomes", ohm)), _draw()).unit_v
        for ohm in (less, less + more)
    ]
    assert seen[0] >= seen[1] - 1e-9


@settings(max_examples=50)
@given(ohms=st.lists(st.floats(0.0, 0.5), min_size=6, max_size=6))
def test_the_drops_along_the_supply_add_up_to_the_terminals(ohms: list[float]) -> None:
    """Kirchhoff's voltage law: the drops from node to node make the battery's volts."""
    heater = small()
    for (part, quantity), ohm in zip(SERIES[:6], ohms, strict=True):
        heater = apply_fault(heater, Fault(part, quantity, "becomes", ohm))
    found = supplied(heater, _draw())
    chain = [*NODES[1:], NODES[0]]
    drops = [found.volts[a] - found.volts[b] for a, b in pairwise(chain)]
    assert found.volts["positive terminal"] == pytest.approx(sum(drops), abs=1e-9)
    assert min(drops) >= -1e-9


def test_what_the_battery_gives_is_what_the_loads_take() -> None:
    """Without a charger, the battery's current is the unit's and the other loads' together."""
    heater = apply_fault(small(), Fault("other loads", "load", "becomes", 3.0))
    found = supplied(heater, _draw())
    others = (3.0 + heater.other_loads.drain_a) / 12.0 * found.volts["positive terminal"]
    assert found.battery_a == pytest.approx(found.unit_a + others, rel=1e-6)


def test_a_charger_holds_its_volts_until_its_limit() -> None:
    """Below its limit a charger holds the terminals at its volts; beyond it gives its limit."""
    strong = apply_fault(small(), Fault("charger", "limit", "becomes", 400.0))
    weak = apply_fault(small(), Fault("charger", "limit", "becomes", 2.0))
    bare = supplied(small(), _draw()).volts["positive terminal"]
    assert 12.9 < supplied(strong, _draw()).volts["positive terminal"] <= 13.8
    assert bare < supplied(weak, _draw()).volts["positive terminal"] < bare + 0.05


def test_a_jumper_over_a_bad_joint_brings_the_volts_back() -> None:
    """A jumper from the terminal to the unit takes the drop of what it bridges away."""
    bad = apply_fault(small(), Fault("positive joint", "resistance", "becomes", 0.3))
    without = supplied(bad, _draw()).unit_v
    jumped = supplied(bad, _draw(), jumper=Jumper("positive terminal", "unit positive")).unit_v
    assert jumped - without > 1.5


_LOADS = st.builds(
    Draw,
    electronics_a=st.floats(0.0, 1.0),
    plug_share=st.floats(0.01, 1.0),
    plug_ohm=st.floats(0.1, 5.0),
    pump_share=st.floats(0.01, 0.5),
    pump_ohm=st.floats(1.0, 50.0),
    fan_share=st.floats(0.05, 1.0),
    fan_ohm=st.floats(0.5, 10.0),
    fan_back_v=st.floats(0.0, 10.0),
)


@settings(max_examples=200, deadline=None)
@given(
    ohms=st.lists(st.floats(1e-4, 5.0), min_size=7, max_size=7),
    draw=_LOADS,
    charger_a=st.sampled_from([0.0, 3.0, 80.0]),
)
def test_the_supply_is_what_nodal_analysis_gives(
    ohms: list[float], draw: Draw, charger_a: float
) -> None:
    """Solved as one loop, every node has the volts that `numpy` finds of each part's branch."""
    heater = apply_fault(small(), Fault("charger", "limit", "becomes", charger_a))
    for (part, quantity), ohm in zip(SERIES, ohms, strict=True):
        heater = apply_fault(heater, Fault(part, quantity, "becomes", ohm))
    found = supplied(heater, draw)
    branches = _branches(heater, draw)
    expected = _by_numpy(branches, [], "negative terminal")
    if charger_a and expected["positive terminal"] < 13.8:
        held = CircuitBranch("negative terminal", "positive terminal", 0.02, 13.8)
        bare, expected = branches, _by_numpy([*branches, held], [], "negative terminal")
        if (13.8 - expected["positive terminal"]) / 0.02 > charger_a:
            given = SetCurrent("negative terminal", "positive terminal", charger_a)
            expected = _by_numpy(bare, [given], "negative terminal")
    assert expected == pytest.approx(dict(found.volts), rel=1e-6, abs=1e-6)


def _branches(heater: Heater, draw: Draw) -> list[CircuitBranch]:
    """Give the branches of a supply one by one, as its parts stand in it."""
    others_a = heater.other_loads.load_a + heater.other_loads.drain_a
    wires = (
        heater.positive_joint.resistance_ohm, heater.fuse.holder_ohm, heater.isolator.contact_ohm,
        cable_ohm(heater.positive_cable), heater.supply_connector.positive_pin_ohm,
        heater.supply_connector.negative_pin_ohm, cable_ohm(heater.negative_cable),
        heater.negative_joint.resistance_ohm,
    )  # fmt: skip
    ends = [pair for pair in pairwise((*NODES[1:], NODES[0])) if pair[0] != "unit positive"]
    loads = [
        (1e5, 0.0),
        (12.0 / max(1e-11, draw.electronics_a), 0.0),
        (draw.plug_ohm / draw.plug_share, 0.0),
        (draw.pump_ohm / draw.pump_share, 0.0),
        (draw.fan_ohm / draw.fan_share**2, -draw.fan_back_v / draw.fan_share),
    ]
    return [
        CircuitBranch(
            "negative terminal", "positive terminal", resistance_ohm(heater.battery),
            rest_v(heater.battery),
        ),
        CircuitBranch("positive terminal", "negative terminal", 12.0 / others_a),
        *(CircuitBranch(*pair, ohm) for pair, ohm in zip(ends, wires, strict=True)),
        *(CircuitBranch("unit positive", "unit negative", *load) for load in loads),
    ]  # fmt: skip
