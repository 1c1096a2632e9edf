"""Pictures hold the numbers that were read, as SVG and as characters alike."""

from __future__ import annotations

import re
from collections.abc import Iterator
from xml.etree import ElementTree

import drawsvg
import pytest
from hypothesis import given
from hypothesis import strategies as st

from diag.cli.report.drawings import rows_of
from diag.jobs.pictures.canvas import round_step
from diag.jobs.pictures.drawn import (
    BeliefPath,
    HeatFlow,
    JobPicture,
    LoadLine,
    PhaseAmps,
    StartCurrent,
    SupplyLosses,
    told_in_words,
)
from diag.jobs.pictures.read import belief_path, pictures_of
from diag.jobs.pictures.svg import svg_of
from diag.model.phrasing import printable
from diag.model.quantity import quantity
from diag.session.journal.events import Answered
from diag.session.state import SessionState
from tests.dangers import shipped

SVG = "{http://www.w3.org/2000/svg}"
volts = st.floats(0.0, 4.0)


@st.composite
def _drops(draw: st.DrawFn) -> SupplyLosses:
    rest = draw(st.floats(11.0, 28.0))
    terminals = rest - draw(volts)
    heater = terminals - draw(volts)
    either = st.none() | volts
    return SupplyLosses(rest, terminals, heater, draw(st.none() | st.floats(9.0, 22.0)),
                       draw(either), draw(either))  # fmt: skip


@st.composite
def _load(draw: st.DrawFn) -> LoadLine:
    one = draw(_drops())
    amps = draw(st.floats(0.5, 30.0))
    return LoadLine(one.rest_v, one.terminals_v, amps, one.heater_v, one.cut_off_v)


amps = st.floats(0.01, 30.0)
phases = st.lists(
    st.builds(PhaseAmps, st.sampled_from(["fan runs up", "glow plug on"]), amps,
              st.none() | amps, st.none() | amps), min_size=2, max_size=11,
)  # fmt: skip
starts = st.builds(StartCurrent, phases.map(tuple))
heats = st.builds(HeatFlow, st.floats(0.5, 8.0), st.floats(0.0, 9.0), st.none() | st.floats(0, 3))


@st.composite
def _beliefs(draw: st.DrawFn) -> BeliefPath:
    steps = draw(st.integers(2, 40))
    shares = st.lists(st.floats(0, 1), min_size=steps, max_size=steps).map(tuple)
    names = draw(st.lists(st.text(min_size=1, max_size=60), min_size=1, max_size=4, unique=True))
    return BeliefPath(
        tuple(f"answer {n}" for n in range(steps)), tuple((one, draw(shares)) for one in names)
    )


pictures: st.SearchStrategy[JobPicture] = st.one_of(_drops(), _load(), starts, heats, _beliefs())


def _parsed(picture: JobPicture) -> ElementTree.Element:
    return ElementTree.fromstring(svg_of(picture, drawsvg))


def _valued(svg: ElementTree.Element, tag: str) -> Iterator[tuple[float, ElementTree.Element]]:
    for one in svg.iter(f"{SVG}{tag}"):
        if "data-value" in one.attrib and " " not in one.attrib["data-value"]:
            yield float(one.attrib["data-value"]), one


def _texts(svg: ElementTree.Element) -> list[str]:
    return ["".join(one.itertext()) for one in svg.iter(f"{SVG}text")]


@given(pictures)
def test_a_picture_is_a_plain_drawing_with_a_title(picture: JobPicture) -> None:
    """Whatever is in it, it parses as XML, and has no script, no reference and a title."""
    svg = _parsed(picture)
    kinds = {one.tag.removeprefix(SVG) for one in svg.iter()}
    assert set() == kinds - {"svg", "defs", "title", "path", "rect", "text", "tspan", "circle"}
    names = {name.rpartition("}")[2] for one in svg.iter() for name in one.attrib}
    assert set() == {name for name in names if name in ("href", "src") or name.startswith("on")}
    title = svg.find(f"{SVG}title")
    assert title is not None
    assert " ".join(printable(told_in_words(picture), keep="").split()) in " ".join(
        str(title.text).split()
    )


def _axis(svg: ElementTree.Element, unit: str) -> list[tuple[float, float]]:
    """Return the numbers below the axis with where they stand."""
    return [
        (float("".join(one.itertext()).split()[0]), float(one.attrib["x"]))
        for one in svg.iter(f"{SVG}text")
        if one.attrib.get("text-anchor") == "middle" and "".join(one.itertext()).endswith(unit)
    ]


@given(_drops() | starts)
def test_bars_are_where_their_values_are_on_the_axis(picture: JobPicture) -> None:
    """Each bar ends where the numbers of the axis say that its value is, and the value is written.

    The axis' numbers are told to six digits and places to a hundredth of a pixel.
    """
    svg = _parsed(picture)
    unit = " A" if isinstance(picture, StartCurrent) else " V"
    axis, bars = _axis(svg, unit), list(_valued(svg, "rect"))
    written = [
        float(text.split()[-2]) for text in _texts(svg) if text.endswith(unit) and "." in text
    ]
    assert [] == [v for v, _ in bars if not any(abs(one - v) <= 0.0051 for one in written)]
    if isinstance(picture, SupplyLosses):
        lost = picture.rest_v - picture.heater_v
        assert lost == pytest.approx(sum(value for value, _ in bars), abs=0.01)
        at, ends = picture.rest_v, list[tuple[float, float]]()
        for value, _ in bars:
            ends.append((at, at - value))
            at -= value
    else:
        assert isinstance(picture, StartCurrent)
        ends = [(0.0, one.amps) for one in picture.phases]
        assert [one for _, one in ends] == pytest.approx([v for v, _ in bars], rel=1e-5)
    if len(axis) < 2:
        return
    (low, x0), (high, x1) = axis[0], axis[-1]
    per = (x1 - x0) / (high - low)
    for both, (_, bar) in zip(ends, bars, strict=True):
        left, wide = float(bar.attrib["x"]), float(bar.attrib["width"])
        wanted = sorted(x0 + (one - low) * per for one in both)
        assert wanted == pytest.approx([left, left + wide], abs=0.1)


@given(_load())
def test_points_of_the_load_line_stand_where_their_volts_are(line: LoadLine) -> None:
    """The heights of the points are one linear scale of the volts that are written on them."""
    svg = _parsed(line)
    points = {value: float(one.attrib["cy"]) for value, one in _valued(svg, "circle")}
    wanted = {one for one in (line.rest_v, line.terminals_v, line.heater_v) if one is not None}
    assert sorted(wanted) == pytest.approx(sorted(points), rel=1e-5) or len(points) < len(wanted)
    low, high = min(points), max(points)
    for value, at in points.items():
        if high - low > 0.05:
            share = (value - low) / (high - low)
            assert points[low] + share * (points[high] - points[low]) == pytest.approx(at, abs=0.1)
    told = " ".join(_texts(svg))
    assert f"{line.rest_v:.2f} V" in told
    assert f"{line.terminals_v:.2f} V" in told


@given(heats)
def test_bands_of_heat_are_as_high_as_their_kilowatts(flow: HeatFlow) -> None:
    """What goes in and what comes out have one scale; what is not accounted for is the rest."""
    svg = _parsed(flow)
    bands = [(value, float(one.attrib["data-high"])) for value, one in _valued(svg, "path")]
    ((fuel, block),) = list(_valued(svg, "rect"))
    scale = float(block.attrib["height"]) / fuel
    for value, high in bands:
        assert scale * value == pytest.approx(high, rel=1e-3, abs=0.02)
    wanted = [flow.air_kw, *([flow.exhaust_kw] if flow.exhaust_kw is not None else [])]
    wanted += [flow.rest_kw] if flow.rest_kw > 0 else []
    assert wanted == pytest.approx([value for value, _ in bands], rel=1e-4, abs=1e-9)
    told = " ".join(_texts(svg))
    assert [] == [kw for kw in (flow.fuel_kw, *wanted) if f"{kw:.2f} kW" not in told]


@given(_beliefs())
def test_lines_of_belief_go_through_the_shares(path: BeliefPath) -> None:
    """Each line's heights are its shares on one scale, step after step at even distances."""
    svg = _parsed(path)
    lines = [one for one in svg.iter(f"{SVG}path") if " " in one.attrib.get("data-value", "")]
    assert len(path.lines) == len(lines)
    for (_, shares), line in zip(path.lines, lines, strict=True):
        assert list(shares) == pytest.approx(
            [float(one) for one in line.attrib["data-value"].split()], abs=1e-5
        )
        places = re.findall(r"([-\d.]+),([-\d.]+)", line.attrib["d"])
        for share, (_, y) in zip(shares, places, strict=True):
            foot, top = 250 - 26.0, 14.0
            assert foot - share * (foot - top) == pytest.approx(float(y), abs=0.05)


@given(pictures, st.integers(40, 200))
def test_the_same_in_characters_fits_and_holds_the_same_numbers(
    picture: JobPicture, width: int
) -> None:
    """Rows take at most the width; the values of the drawing stand in them where it is 80 wide."""
    assert [] == [row for row in rows_of(picture, width) if len(row) > width]
    rows = " ".join(rows_of(picture, 110))
    if isinstance(picture, SupplyLosses):
        for value in (picture.rest_v, picture.battery_loss_v, picture.heater_v):
            assert f"{value:.2f} V" in rows
    if isinstance(picture, StartCurrent):
        assert [] == [one for one in picture.phases if f"{one.amps:.2f} A" not in rows]


@given(st.floats(1e-3, 1e4), st.integers(2, 12))
def test_a_round_step_makes_few_enough_steps(span: float, most: int) -> None:
    """A step is 1, 2, 2.5 or 5 times a power of ten, at most so many to the span."""
    step = round_step(span, most)
    assert span / step <= most * (1 + 1e-6)
    digits = f"{step:.6e}".partition("e")[0].rstrip("0").rstrip(".")
    assert digits in ("1", "2", "2.5", "5")


def test_only_what_was_read_is_drawn() -> None:
    """Without the volts at the heater there are no drops; without amps there is no load line."""
    book = shipped.book()
    state = SessionState(book, book.units["LIB-03"], "fan only")
    assert () == tuple(pictures_of(state))
    for name, value, unit in (
        ("volts at rest", 12.5, "V"),
        ("volts at the terminals while igniting", 10.6, "V"),
    ):
        state.apply(Answered(name, quantity(value, unit), "measured"))
    assert () == tuple(pictures_of(state))
    state.apply(Answered("amps while igniting", quantity(8.0, "A"), "measured"))
    (line,) = pictures_of(state)
    # By hand: 1.9 V at 8 A are 237.5 mohm.
    assert isinstance(line, LoadLine)
    assert 237.5 == pytest.approx(line.milliohm)
    state.apply(Answered("volts at the heater while igniting", quantity(10.1, "V"), "measured"))
    drops = next(one for one in pictures_of(state) if isinstance(one, SupplyLosses))
    assert (1.9, 0.5, 10.5) == pytest.approx(
        (drops.battery_loss_v, drops.wiring_loss_v, drops.cut_off_v)
    )


def test_the_path_of_belief_keeps_those_that_ever_led() -> None:
    """Of many explanations the four that were ever likeliest are drawn, with all their steps."""
    steps = [
        ("first", {"a": 0.5, "b": 0.2, "c": 0.1, "d": 0.1, "e": 0.05}),
        ("second", {"a": 0.0, "b": 0.1, "c": 0.1, "d": 0.15, "e": 0.9}),
    ]
    path = belief_path(steps)
    assert path is not None
    assert ("first", "second") == path.after
    assert (("e", (0.05, 0.9)), ("a", (0.5, 0.0)), ("b", (0.2, 0.1)), ("d", (0.1, 0.15))) == (
        path.lines
    )
    assert belief_path(steps[:1]) is None
