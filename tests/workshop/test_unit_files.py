"""Where the world and the unit files disagree, class by class, printed as a table."""

from __future__ import annotations

from random import Random

import pytest

from diag.cli.book import load_book
from diag.model.quantity import UNITS
from diag.workshop import World, heater_of
from diag.workshop.data.readings import reading_in
from diag.workshop.visit import ACTS, Visit
from tests.workshop.shipped import classes

READ = {
    "a full run": {
        "fan run-up current": "amps, highest in fan run-up",
        "ignition current": "amps, typical in glow after 20 s",
        "fuel-on current": "amps before it lights, typical in fuel after 2 s",
        "flame current": "amps, typical in flame",
        "burning current full": "amps, last in full",
        "pump rate full": "pump rate, last in full",
        "outlet air speed": "outlet air speed, last in full",
        "rated heat": "heat, last in full",
    },
    "a low run": {
        "burning current mid": "amps at half power, typical in low",
        "burning current low": "amps, last in low",
        "pump rate low": "pump rate, last in low",
    },
    "a switch-off": {
        "cool-down current": "amps, typical in cool-down",
    },
    "pumping": {"pump dose": "fuel pumped"},
    "a look": {
        "low-voltage cut-off": "control unit low volts",
        "supply cable area": "positive cable area",
        "supply cable length": "positive cable length",
        "duct bore": "duct bore",
        "fuel hose bore": "delivery hose bore",
        "nominal voltage": "battery nominal",
    },
}
"""Act to unit datum to the reading that it tells of."""


@pytest.mark.parametrize("kind", classes())
def test_what_the_file_tells_is_read_of_the_world_too(kind: str) -> None:
    """Every number of a class's file that the world has is read, and told beside its own."""
    told = load_book().units[kind].data
    new = heater_of(classes()[kind])
    visit = Visit(World(new, Random(1), (), classes()[kind]), new, {}, Random(1))
    rows = {}
    for act, data in READ.items():
        seen = ACTS[act](visit)
        for datum, text in data.items():
            reading = reading_in(text)
            value = reading.of(seen)
            assert isinstance(value, float), datum
            rows[datum] = (told[datum], told[datum].unit.from_si(UNITS[reading.unit].to_si(value)))
    print(f"\n{kind:22}{'file':>10}{'world':>10}{'off':>8}")
    for datum, (file, world) in rows.items():
        off = world / file.value - 1.0
        print(f"{datum:22}{file!s:>10}{world:10.2f}{100 * off:+7.0f} %")
    assert sum(map(len, READ.values())) == len(rows)
