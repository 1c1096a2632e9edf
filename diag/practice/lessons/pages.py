"""A lesson page by page: why it is so, each question with what follows, and what to practise.

Numbers and looks stand in the texts already; with what marks it is shown is for whoever shows it.
"""

from __future__ import annotations

from diag.model.frozen import frozen
from diag.model.rulebook import Rulebook
from diag.practice.lessons.bench import LessonBench, ShownReading, shown_readings
from diag.practice.lessons.lesson import LessonStep
from diag.practice.pictures.current import current_rows, current_words
from diag.practice.pictures.heat import heat_rows, heat_share, heat_words
from diag.practice.pictures.supply import supply_path, supply_rows, supply_words
from diag.workshop import WorkshopError
from diag.workshop.standing import standing

PINS = "A pin is one contact of the plug that feeds the heater."


@frozen
class AskedPage:
    """Hold a step's question as it is put, and how a given answer is met."""

    item: str
    """The name under which answers to it are kept."""
    ask: str
    choices: tuple[str, ...]
    meant: tuple[str, ...]
    """For each choice, what is told of it."""
    right: int
    """Which of the choices is right, from 0."""


@frozen
class LessonPicture:
    """Hold a picture: its rows, and the sentences that say the same."""

    title: str
    rows: tuple[str, ...]
    words: tuple[str, ...]
    key: tuple[str, ...] = ()
    """What the marks in the rows stand for, where they need it."""


def asked(bench: LessonBench, step: LessonStep) -> AskedPage:
    """Return a step's question with its numbers filled in."""
    return AskedPage(
        bench.lesson.item(step),
        bench.filled(step.ask),
        tuple(step.choices),
        tuple(bench.filled(text) for text in step.choices.values()),
        list(step.choices).index(step.right),
    )


def told(bench: LessonBench, step: LessonStep) -> tuple[str, ...]:
    """Return what is told after a step's question."""
    return tuple(bench.filled(text) for text in step.tell)


def readings(bench: LessonBench, step: LessonStep) -> tuple[ShownReading, ...]:
    """Return the readings that a step shows."""
    return shown_readings(bench, step.shows)


def why(bench: LessonBench) -> tuple[str, ...]:
    """Return the paragraphs of a lesson's reasons with their numbers filled in."""
    return tuple(bench.filled(text) for text in bench.lesson.why)


def drawing(
    bench: LessonBench, step: LessonStep, book: Rulebook, width: int
) -> LessonPicture | None:
    """Return a step's picture for a width in columns; None where it has none.

    Raises `WorkshopError`, with the lesson and the step, for a picture of what the unit never did,
    such as heat without a flame.
    """
    if not step.picture:
        return None
    try:
        return _DRAWN[step.picture](bench, step, book, width)
    except WorkshopError as error:
        raise WorkshopError(f"lesson `{bench.lesson.id}`, step `{step.id}`: {error}") from None


def _current(bench: LessonBench, step: LessonStep, book: Rulebook, width: int) -> LessonPicture:
    trace = bench.seen(step.act).trace
    words = current_words(trace)
    return LessonPicture("Current over time", current_rows(trace, width), words, words)


def _supply(bench: LessonBench, step: LessonStep, book: Rulebook, width: int) -> LessonPicture:
    cut_off = book.units[bench.lesson.kind].data["low-voltage cut-off"]
    rest_v = standing(bench.came_in(), "battery volts at rest")
    path = supply_path(bench.seen(step.act).trace, rest_v, cut_off.si)
    title = f"Where the volts go at the worst moment, at {path.amps:.1f} A"
    return LessonPicture(title, supply_rows(path, width), (supply_words(path),), (PINS,))


def _heat(bench: LessonBench, step: LessonStep, book: Rulebook, width: int) -> LessonPicture:
    here, sound = (
        heat_share(bench.seen(step.act, each).trace, bench.came_in(each).fuel)
        for each in (False, True)
    )
    return LessonPicture("Where the heat goes", heat_rows(here, width), (heat_words(here, sound),))


_DRAWN = {"current": _current, "supply": _supply, "heat": _heat}
"""How each picture is drawn, by the name that lessons use."""
