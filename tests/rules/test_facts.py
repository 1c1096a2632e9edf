"""Facts of the trade in the shipped rules, each against what is published, or named as memory."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest

from diag.cli.book import load_book
from diag.model.quantity import UNITS
from diag.model.rulebook import Rulebook
from diag.physics.combustion.fuel import FUELS, pump_power_kw
from diag.physics.combustion.stoichiometry import combustion_of
from diag.rulebook import parse_answer
from diag.session.journal.events import Answered
from diag.session.slips import unlisted, usual_slip
from diag.session.state import SessionState

CLASSES = ("small 12 V", "medium 12 V", "small 24 V", "medium 24 V")


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Rulebook:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("DIAG_HOME", str(tmp_path_factory.mktemp("home")))
        return load_book()


def _told(
    book: Rulebook,
    readings: dict[str, str],
    complaint: str = "will not start",
    unit: str = "small 12 V",
) -> SessionState:
    state = SessionState(book, book.units[unit], complaint)
    for name, text in readings.items():
        finding = book.findings[name]
        state.apply(Answered(name, parse_answer(text, finding), finding.how))
    return state


def _state(book: Rulebook, sign: str, readings: dict[str, str]) -> str:
    """Return the state of a sign, `""` where none is told."""
    return next(iter(_told(book, readings).chain.states(sign)), "")


def _datum(book: Rulebook, unit: str, name: str) -> float:
    return book.units[unit].data[name].si


# The fan.
START = {"panel": "lit", "panel shows": "fault"}


@pytest.mark.parametrize(
    ("amps", "state"),
    [("0 A", "none"), ("0.1 A", "none"), ("1.2 A", "normal"), ("2.2 A", "normal"),
     ("5.5 A", "normal"), ("9 A", "high")],
)  # fmt: skip
def test_a_fan_draws_nothing_only_near_zero(book: Rulebook, amps: str, state: str) -> None:
    """A soft-started fan has no peak, one with brushes several times its running current: a fan
    maker's note and a clamp meter's manual; the class's own values are memory."""
    assert state == _state(book, "fan current", {"amps in fan run-up": amps, **START})


@pytest.mark.parametrize("unit", CLASSES)
def test_a_fan_at_its_speed_draws_less_than_fan_and_pump_at_full_power(
    book: Rulebook, unit: str
) -> None:
    """Currents of one class agree: steady fan, then with the pump, then the peak (arithmetic)."""
    names = ("fan current at speed", "burning current full", "fan run-up current",
             "ignition current")  # fmt: skip
    amps = [_datum(book, unit, name) for name in names]
    assert all(low < high for low, high in pairwise(amps))


@pytest.mark.parametrize("unit", CLASSES)
def test_the_glow_plug_of_a_class_agrees_with_its_ohms(book: Rulebook, unit: str) -> None:
    """What ignition draws beside the fan makes a hot plug of 1.5 to 4 times the cold ohms of a good
    one in its range (Ohm's law; the ratio is memory)."""
    volts = _datum(book, unit, "nominal voltage")
    amps = _datum(book, unit, "ignition current") - _datum(book, unit, "fan current at speed")
    hot = volts / amps
    low, high = (_datum(book, unit, f"glow plug resistance {end}") for end in ("low", "high"))
    assert 1.5 * low < hot < 4.0 * high


# Batteries.
@pytest.mark.parametrize(
    ("volts", "kind", "state"),
    [
        # Flooded: 12.45 V at 75 %, 12.24 V at 50 %, 11.89 V empty, +-0.05 V: the BCI-derived table,
        # and Bode's electrode formulas of 1977 have 12.43, 12.24 and 11.88 V.
        ("12.5 V", "lead-acid", "charged"), ("12.3 V", "lead-acid", ""),
        ("12.1 V", "lead-acid", "low"), ("11.7 V", "lead-acid", "flat"),
        # LiFePO4: 13.08 to 13.28 V from 20 to 80 %, below 12.8 V nearly empty: charts, no standard.
        ("13.4 V", "lithium", "charged"), ("13.2 V", "lithium", ""), ("12.9 V", "lithium", "low"),
        ("12.4 V", "lithium", "flat"), ("0.9 V", "lithium", "dead"), ("0.9 V", "lead-acid", "dead"),
    ],
)  # fmt: skip
def test_rest_volts_are_held_against_the_kind(
    book: Rulebook, volts: str, kind: str, state: str
) -> None:
    """12.4 V is a good lead battery and a nearly empty lithium one."""
    assert state == _state(book, "charge at rest", {"volts at rest": volts, "battery kind": kind})


def test_a_lithium_battery_at_12_6_volts_is_charged_before_it_is_replaced(book: Rulebook) -> None:
    """12.6 V is a full lead battery that sags, worn; and a nearly empty lithium one that sags."""
    readings = {
        "volts at rest": "12.6 V", "volts at the terminals while igniting": "10.4 V",
        "amps while igniting": "9.3 A", "stood without charge": "yes",
        "meaning of the code": "supply low",
    }  # fmt: skip
    lead = _told(book, {"battery kind": "lead-acid", **readings}).posterior.causes
    lithium = _told(book, {"battery kind": "lithium", **readings}).posterior.causes
    assert lead["worn battery"] > lead["empty battery"]
    assert lithium["empty battery"] > 0.6 > lithium["worn battery"]


def test_frost_alone_does_not_cut_a_lithium_battery_off(book: Rulebook) -> None:
    """Two battery manuals allow discharge down to -20 C and bar only charging below 0 C: dead
    terminals at +1 C are an empty or overdrawn battery's."""
    dead = {"panel": "dark", "volts at rest": "0.9 V", "battery kind": "lithium"}
    mild = _told(book, {**dead, "battery temperature": "1 C"}).posterior.causes
    hard = _told(book, {**dead, "battery temperature": "-24 C"}).posterior.causes
    assert mild["battery cut off"] > 0.8 > 0.05 > mild.get("cold battery cut off", 0.0)
    assert hard["cold battery cut off"] > 0.8


@pytest.mark.parametrize(("volts", "state"), [("15.1 V", "right"), ("15.4 V", "right"),
                                              ("15.45 V", ""), ("15.9 V", "over")])  # fmt: skip
def test_a_cold_battery_may_be_charged_at_15_4_volts(
    book: Rulebook, volts: str, state: str
) -> None:
    """Charging tables give 15.1 to 15.4 V at 4 C and below; the unit's own limit is its data."""
    assert state == _state(book, "charging volts", {"volts while charging": volts})


def test_a_parted_supply_cable_has_a_cause(book: Rulebook) -> None:
    """12.6 V at the terminals, 0.3 V at the heater, fuse sound, isolator on: the circuit is open
    between (Kirchhoff's voltage law of 1845), and nothing is called impossible."""
    state = _told(book, {
        "volts at rest": "12.6 V", "volts at the heater at rest": "0.3 V", "supply fuse": "sound",
        "isolator": "on", "panel": "dark",
    })  # fmt: skip
    assert "supply cable broken" == state.posterior.ranking[0][0]
    assert 0.5 < state.posterior.ranking[0][1]
    assert not state.impossible


# Ohms, hoses, standby.
@pytest.mark.parametrize(
    ("ohms", "state"),
    [("0.25 ohm", ""), ("0.15 ohm", "low"), ("0.5 ohm", "in range"), ("1.0 ohm", ""),
     ("1.2 ohm", ""), ("1.5 ohm", "high")],
)  # fmt: skip
def test_cold_ohms_have_room_for_meter_and_leads(book: Rulebook, ohms: str, state: str) -> None:
    """A 200 ohm range is +-(0.8 % + 2 digits of 0.1 ohm), leads have 0.2 to 0.5 ohm: a hand meter's
    manual and an instrument maker's page. 0.7 ohm may read 1.2 ohm."""
    assert state == _state(book, "glow plug resistance", {"glow plug resistance cold": ohms})


@pytest.mark.parametrize(
    ("delivery", "suction", "state"),
    [("2 mm", "4 mm", "fits"), ("2 mm", "5 mm", "fits"), ("4 mm", "4 mm", "wide"),
     ("2 mm", "8 mm", "wide")],
)  # fmt: skip
def test_a_suction_hose_may_be_wider(
    book: Rulebook, delivery: str, suction: str, state: str
) -> None:
    """From tank to pump 4 to 5 mm is usual, from pump to heater 1.5 to 2 mm (common practice)."""
    assert state == _state(book, "hose size", {"hose bore": delivery, "suction hose bore": suction})


def test_a_control_unit_may_sleep_on_one_milliampere(book: Rulebook) -> None:
    """Controls that sleep below 1 mA are common (memory); least and limit are the unit's data."""
    fed = {"volts at rest": "12.6 V", "volts at the heater at rest": "12.5 V"}
    assert "normal" == _state(book, "standby current", {"standby amps": "1 mA", **fed})
    assert "none" == _state(book, "standby current", {"standby amps": "0 mA", **fed})


@pytest.mark.parametrize("unit", CLASSES)
def test_rated_heat_is_a_believable_share_of_the_fuel(book: Rulebook, unit: str) -> None:
    """Dose, pulse rate and rated heat of a class make an efficiency of 60 to 80 % of the net heat,
    as the rules say of such heaters (common practice; 43.0 MJ/kg by IPCC 2006 Table 1.2)."""
    data = book.units[unit].data
    dose_ml = UNITS["ml"].from_si(data["pump dose"].si)
    fuel_kw = pump_power_kw(data["pump rate full"].si, dose_ml / 100.0, "diesel")
    heat_kw = UNITS["kW"].from_si(data["rated heat"].si)
    assert 0.6 < heat_kw / fuel_kw < 0.8


# Exhaust.
def test_the_flue_loss_takes_the_air_at_the_intake(book: Rulebook) -> None:
    """330 C, 11.5 % oxygen and 15 C of air lose (330 - 15) (0.68 / 9.5 + 0.007) = 24.75 % (1.
    BImSchV (2010) annex 2 no. 3.4), whatever the coldest night of the fuel was."""
    state = _told(book, {
        "lights up": "yes", "exhaust temperature": "330 C", "oxygen in the exhaust": "11.5 %",
        "air temperature outside": "15 C", "coldest night of the fuel": "-12 C",
    })  # fmt: skip
    loss = state.chain.value("heat lost in the exhaust")
    assert pytest.approx(24.75, abs=0.01) == 100.0 * loss.si
    assert frozenset({"frost"}) == state.chain.states("weather")


@pytest.mark.parametrize(("coldest", "state"), [("8 C", "mild"), ("2 C", ""), ("-8 C", "frost")])
def test_wax_is_left_open_between_the_grades(book: Rulebook, coldest: str, state: str) -> None:
    """EN 590: class A may plug at +5 C, class B at 0 C and class F at -20 C."""
    assert state == _state(book, "weather", {"coldest night of the fuel": coldest})


def test_the_limit_of_exhaust_co_is_the_law_s(book: Rulebook) -> None:
    """1300 mg/kWh (1. BImSchV (2010) sec. 7 no. 4) are 1180 ppm of diesel's dry gas without spare
    air: x 43.0 / 3.6 kWh/kg, / 10.53 m3/kg, / 1.2497 mg/m3 for 1 ppm at 0 C."""
    oil = FUELS["diesel"]
    mg_per_kg = 1300.0 * oil.net_heat_mj_per_kg / 3.6
    ppm = mg_per_kg / combustion_of(oil.hydrogen_per_carbon).dry_gas_m3_per_kg / 1.2497
    limit = book.thresholds["most carbon monoxide in the exhaust"].value
    assert pytest.approx(ppm, rel=0.005) == 1e6 * limit.si


@pytest.mark.parametrize(
    ("co2", "seen", "state"),
    [("12.5 %", "clear", ""), ("12.5 %", "dark", "short"), ("14 %", "clear", "short"),
     ("10 %", "clear", "right")],
)  # fmt: skip
def test_near_its_limit_the_smoke_decides(book: Rulebook, co2: str, seen: str, state: str) -> None:
    """12.5 % of CO2 leaves 4 % of oxygen (1. BImSchV (2010) annex 2 no. 3.4), as many burners are
    set; it is short of air only with soot (common practice)."""
    got = _state(book, "burner air", {"lights up": "yes", "carbon dioxide in the exhaust": co2,
                                     "exhaust after warm-up": seen})  # fmt: skip
    assert state == got


# Sensors.
def test_a_short_circuit_is_not_an_overheat_sensor_in_range(book: Rulebook) -> None:
    """0 kohm is asked about, and taken again it is a short circuit (common practice)."""
    assert "short-circuited" == _state(book, "overheat sensing", {"overheat sensor": "0 kohm"})
    finding = book.findings["overheat sensor"]
    state = _told(book, {})
    assert usual_slip(finding, parse_answer("0 kohm", finding), state)
    assert not usual_slip(finding, parse_answer("60 kohm", finding), state)


@pytest.mark.parametrize("celsius", [-20.0, 5.0, 20.0, 40.0, 50.0])
def test_a_sound_platinum_flame_sensor_is_in_range(book: Rulebook, celsius: float) -> None:
    """1000 ohm (1 + 3.9083e-3 t - 5.775e-7 t^2), IEC 60751, lies in the class's range when cold."""
    kohm = 1.0 + 3.9083e-3 * celsius - 5.775e-7 * celsius**2
    assert "in range" == _state(book, "flame sensing", {"flame sensor": f"{kohm:.3f} kohm"})


# What was guessed to be impossible.
HONEST = [
    {"awake when off": "yes", "standby amps": "25 mA"},
    {"volts at rest": "13.04 V", "battery kind": "lead-acid"},
    {"volts at rest": "12.6 V", "volts at the heater at rest": "0.3 V", "supply fuse": "sound",
     "isolator": "on"},
    {"meaning of the code": "supply low", "amps while igniting": "9.2 A",
     "volts at the heater while igniting": "12.0 V"},
    {"positive joint": "poor", "earth joint": "clean", "drop along the positive cable": "0.4 V",
     "drop along the negative cable": "1.6 V", "volts at the terminals while igniting": "12.2 V",
     "volts at the heater while igniting": "10.2 V"},
    {"positive joint": "clean", "earth joint": "poor", "drop along the positive cable": "1.6 V",
     "drop along the negative cable": "0.4 V", "volts at the terminals while igniting": "12.2 V",
     "volts at the heater while igniting": "10.2 V"},
    {"supply fuse": "blown", "fan at start": "runs", "panel": "lit"},
    {"lamp at the pump connector": "blinks", "pump clicks": "silent",
     "pump on a test lead": "clicks"},
    {"pump on a test lead": "stuck", "fuel from 100 pulses": "2.0 ml"},
    {"fuel in the tank": "empty", "fuel from 100 pulses": "2.1 ml"},
    {"fuel from 100 pulses": "3.4 ml", "fuel from a can": "2.3 ml"},
    {"exhaust pipe": "blocked", "blow test": "free"},
    {"blow test": "blocked", "exhaust pipe": "clear", "intake": "clear"},
    {"oxygen in the exhaust": "15.5 %", "exhaust after warm-up": "dark", "lights up": "yes"},
    {"fan at start": "runs", "fan by hand": "seized"},
    {"duct": "crushed", "air speed at the outlet": "10.8 m/s"},
    {"outlets": "shut", "air speed at the outlet": "10.6 m/s"},
    {"fuel in the tank": "enough", "topping up helps": "yes", "starts when cool": "no"},
    {"volts at the terminals while igniting": "10.3 V",
     "volts at the heater while igniting": "10.6 V"},
    {"volts at rest": "12.3 V", "volts at the terminals while igniting": "12.6 V",
     "amps while igniting": "9 A"},
    {"glow plug resistance cold": "0.3 ohm", "volts at the glow plug": "11.5 V",
     "amps while igniting": "5.8 A", "glow plug connector": "tight"},
    {"glow plug resistance cold": "0.9 ohm", "volts at the glow plug": "10.5 V",
     "amps while igniting": "4.7 A", "glow plug connector": "tight"},
    {"duct": "crushed", "air at the outlet": "95 C", "air speed at the outlet": "3.5 m/s",
     "air at the inlet": "15 C", "exhaust after warm-up": "clear"},
]  # fmt: skip


@pytest.mark.parametrize("readings", HONEST, ids=[" and ".join(each) for each in HONEST])
def test_honest_readings_break_no_law(book: Rulebook, readings: dict[str, str]) -> None:
    """What a sound or common fault may show at the bench is never called impossible: each has a
    cause in time, in the meter, or in a part that sticks (judgement of the trade, no source)."""
    assert () == tuple(rule.then.name for rule, _ in _told(book, readings).impossible)


LAWS = ("Ohm's law", "Kirchhoff's voltage law", "conservation of mass", "of thermodynamics",
        "tables of open-circuit volts")  # fmt: skip
WAYS_OUT = ("another time", "another start", "one start and another", "charger")


def test_every_impossibility_names_its_law_and_an_honest_way_out(book: Rulebook) -> None:
    """An entry of `cannot be` is a law, and says what else may have been the case."""
    entries = [rule for rule in book.rules if rule.then.kind == "impossible"]
    assert 15 <= len(entries) <= 20
    for rule in entries:
        assert any(law in str(rule.origin) for law in LAWS), rule.then.name
        assert any(way in rule.why for way in WAYS_OUT), rule.then.name


@pytest.mark.parametrize(
    ("before", "finding", "answer", "words"),
    [
        ({"volts at rest": "12.7 V"}, "volts at the terminals while igniting", "1.23 V", "decimal"),
        ({}, "volts at rest", "30 V", "24 V battery"),
        ({"air at the inlet": "15 C", "air at the outlet": "105 C"}, "air speed at the outlet",
         "22 m/s", "metres a second"),
        ({"exhaust pipe": "blocked"}, "blow test", "free", "half shut"),
        ({"fan at start": "runs"}, "fan by hand", "seized", "ice"),
    ],
)  # fmt: skip
def test_a_slip_is_guessed_from_what_is_known(
    book: Rulebook, before: dict[str, str], finding: str, answer: str, words: str
) -> None:
    """What an answer alone does not show is seen beside the unit's data and the other readings."""
    asked, state = book.findings[finding], _told(book, before)
    slip = usual_slip(asked, parse_answer(answer, asked), state)
    assert slip is not None
    assert words in slip.say


# Codes.
UNIT = """\
source: common practice
unit: text codes
title: A small heater whose panel shows texts
based on: small 12 V
data: {nominal voltage: 12 V}
codes: {3-2: flame lost, e10: overheat, 2 long 3 short: fan, 07: sensor}
"""


@pytest.mark.parametrize(
    ("typed", "state"),
    [("3-2", "flame lost"), ("3 - 2", "flame lost"), ("E10", "overheat"), ("e10", "overheat"),
     ("2 long 3 short", "fan"), ("07", "sensor"), ("none", "none"), ("7", "")],
)  # fmt: skip
def test_codes_are_texts(
    typed: str, state: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two-part, lettered and long-and-short codes are common (common practice); each unit has a
    list of its own, and one that is not in it tells nothing and is said so."""
    (tmp_path / "units").mkdir()
    (tmp_path / "units" / "text-codes.yaml").write_text(UNIT, encoding="utf-8")
    monkeypatch.setenv("DIAG_HOME", str(tmp_path))
    book = load_book()
    told = _told(book, {"flash count": typed}, unit="text codes")
    assert state == next(iter(told.chain.states("fault code")), "")
    finding = book.findings["flash count"]
    said = unlisted(finding, parse_answer(typed, finding), told)
    assert ("not among the codes of `text codes`" in said) == (state == "")
