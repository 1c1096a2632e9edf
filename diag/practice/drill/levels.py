"""The levels of a drill, and the faults drawn for each: how often a kind is drawn is memory."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from random import Random
from types import MappingProxyType

from diag.model.frozen import frozen
from diag.model.rulebook import Rulebook
from diag.practice.units import (
    CHECK_OVER,
    SHARES,
    SOUND_UNIT,
    PracticeUnit,
    unit_with,
)
from diag.practice.world import WorldFiles
from diag.workshop import WorkshopError
from diag.workshop.data.faults import A_YEAR, FaultEntry, with_others
from diag.workshop.meters import Mistakes

AND = " + "
"""Between the names of two faults of one unit."""
SOUND_FAMILY = "use"
"""The family of a unit with nothing wrong: what explains it is how it is used."""
SAID_OF_SOUND = (CHECK_OVER, "weak heat", "many attempts", "noise", "only sometimes")
"""What owners of sound units complain of."""
LOUD_WITHIN = 12
"""So often a unit is drawn until its owner has something plain to complain of."""
COMES_AND_GOES_MORE = 6.0
"""How much more often level 3 draws a fault that comes and goes."""


@frozen
class DrillLevel:
    """One level: what it draws, in words, and how people and meters err in it."""

    number: int
    title: str
    mistakes: Mistakes = Mistakes()
    sound_share: float = 0.0
    faults: int = 1
    loud: bool = False


LEVELS: Mapping[int, DrillLevel] = MappingProxyType(
    {
        1: DrillLevel(1, "one common fault that shows plainly", loud=True),
        2: DrillLevel(2, "one fault of any kind, common or rare"),
        3: DrillLevel(
            3,
            "one fault that shows weakly or comes and goes; meters and eyes may slip",
            Mistakes(slip=0.02, dropout=0.02, looks=True),
        ),
        4: DrillLevel(
            4,
            "two faults at once, or nothing wrong at all; meters and eyes may slip",
            Mistakes(slip=0.01, dropout=0.01, looks=True),
            sound_share=0.25,
            faults=2,
        ),
    }
)


def level_of(text: str) -> DrillLevel:
    """Return the level that a number names; `ValueError` with all of them for another."""
    found = {str(number): level for number, level in LEVELS.items()}.get(text.strip())
    if found is None:
        in_a_row = "; ".join(f"{number}, {level.title}" for number, level in LEVELS.items())
        raise ValueError(f"there is no level `{text[:20]}`: take one of {in_a_row}")
    return found


UP_AT, UP_AFTER = 8.0, 3
"""Mean points of so many drills in a row from which the next level is due."""


def next_level(history: Sequence[tuple[int, float]]) -> DrillLevel:
    """Return the level that is due after drills by level and points, the latest last.

    >>> next_level([]).number, next_level([(1, 9.0), (1, 8.0), (1, 7.5)]).number
    (1, 2)
    """
    if not history:
        return LEVELS[1]
    number = history[-1][0]
    last = [points for level, points in history if level == number][-UP_AFTER:]
    firm = len(last) == UP_AFTER and sum(last) / UP_AFTER >= UP_AT
    return LEVELS[min(number + firm, max(LEVELS))]


def families_of(book: Rulebook, truths: Sequence[frozenset[str]]) -> tuple[tuple[str, str], ...]:
    """Return the family and the cause of each thing that is wrong; of a sound unit its own."""
    if not truths:
        return ((SOUND_FAMILY, SOUND_UNIT),)
    known = [sorted(truth & book.causes.keys()) for truth in truths]
    return tuple((book.causes[names[0]].area, names[0]) for names in known if names)


def drawn_from(files: WorldFiles, level: DrillLevel) -> tuple[FaultEntry, ...]:
    """Return the single faults that a level draws from."""
    single = [each for each in files.faults.values() if len(each.truths) == 1 and each.a_year]
    if level.loud:
        single = [
            each
            for each in single
            if each.a_year >= A_YEAR["now and then"] and not _comes_and_goes(each)
        ]
    return tuple(single)


def choose_fault(
    files: WorldFiles,
    book: Rulebook,
    level: DrillLevel,
    random: Random,
    weak: Mapping[str, float] = MappingProxyType({}),
) -> str:
    """Draw what is wrong: a fault's name, two with `+` between, or that nothing is.

    `weak` is how much more often than usual a family is drawn, 1 where it says nothing.
    """
    if random.random() < level.sound_share:
        return SOUND_UNIT
    entries = drawn_from(files, level)
    weights = [_weight(level, each) * weak.get(_family(book, each), 1.0) for each in entries]
    first = random.choices(entries, weights)[0].id
    return first if level.faults == 1 else beside(files, level, first, random)


def beside(files: WorldFiles, level: DrillLevel, fault: str, random: Random) -> str:
    """Draw a second fault of a level beside one; return both, with `+` between."""
    first = files.faults[fault]
    others = [each for each in drawn_from(files, level) if _apart(first, each)]
    second = random.choices(others, [_weight(level, each) for each in others])[0]
    return AND.join((first.id, second.id))


def _weight(level: DrillLevel, entry: FaultEntry) -> float:
    more = COMES_AND_GOES_MORE if level.number == 3 and _comes_and_goes(entry) else 1.0
    return more * entry.a_year


def _family(book: Rulebook, entry: FaultEntry) -> str:
    return families_of(book, entry.truths)[0][0]


def _comes_and_goes(entry: FaultEntry) -> bool:
    return any(each.comes_and_goes is not None for each in entry.changes)


def _apart(first: FaultEntry, other: FaultEntry) -> bool:
    """Say whether two faults sit in parts of their own, and some unit may have both."""
    parts = {each.part for each in first.changes}
    classes = (first.classes or SHARES.keys()) & (other.classes or SHARES.keys())
    own = parts.isdisjoint(each.part for each in other.changes)
    return own and bool(classes) and first.truths[0].isdisjoint(other.truths[0])


def entry_of(files: WorldFiles, fault: str) -> FaultEntry | None:
    """Return the entry of a fault as `choose_fault` names it; None for a sound unit.

    Raises `ValueError` for a fault that the files have not.
    """
    if fault == SOUND_UNIT:
        return None
    if fault in files.faults:
        return files.faults[fault]
    names = fault.split(AND)
    if not set(names) <= files.faults.keys():
        raise ValueError(f"the files of the world have no fault `{fault[:60]}` any more")
    entries = [files.faults[name] for name in names]
    classes = frozenset(SHARES)
    for each in entries:
        classes &= each.classes or classes
    none = FaultEntry(fault, (), 0.0, (), frozenset(), {})
    both = with_others(none, entries)
    return FaultEntry(fault, both.changes, 0.0, both.truths, classes, both.told)


def drill_unit(
    files: WorldFiles, book: Rulebook, level: DrillLevel, fault: str, *, drawn: tuple[int, int]
) -> PracticeUnit:
    """Draw the unit of a drill: the same for the same level, fault, and `drawn` seed and number.

    At a level of plain signs it is drawn until its owner complains of what the fault brings. Raises
    `ValueError` for a fault that there is not, `WorkshopError` for one that no unit can have.
    """
    seed, number = drawn
    entry = entry_of(files, fault)
    unit = None
    for random in _chances(seed, number):
        unit = unit_with(files, random, entry, mistakes=level.mistakes)
        if not entry or not level.loud or shows_plainly(book, unit):
            break
    if unit is None:
        raise WorkshopError(f"no unit can have `{fault}`")
    if entry is None:
        unit.complaint = Random(f"owner {seed} {number}").choice(SAID_OF_SOUND)
    unit.number = number
    return unit


def shows_plainly(book: Rulebook, unit: PracticeUnit) -> bool:
    """Say whether an owner complains of what one of the causes brings, by the rules."""
    if unit.complaint == CHECK_OVER:
        return False
    causes = [book.causes[name] for truth in unit.truths for name in truth & book.causes.keys()]
    return any(unit.complaint in cause.complaints for cause in causes)


def new_drill_unit(
    files: WorldFiles,
    book: Rulebook,
    level: DrillLevel,
    *,
    drawn: tuple[int, int],
    weak: Mapping[str, float] = MappingProxyType({}),
) -> PracticeUnit:
    """Draw the unit of a drill with its fault by seed and number, the fault as `choose_fault` does.

    At a level of plain signs the fault is one that shows plainly on it. It is the unit that
    `drill_unit` draws with this fault.
    """
    for attempt in range(LOUD_WITHIN):
        random = Random(f"choose {level.number} {drawn[0]} {drawn[1]} {attempt}")
        fault = choose_fault(files, book, level, random, weak)
        unit = drill_unit(files, book, level, fault, drawn=drawn)
        if not level.loud or shows_plainly(book, unit):
            break
    return unit


def _chances(seed: int, number: int) -> Iterator[Random]:
    for attempt in range(LOUD_WITHIN):
        yield Random(f"drill {seed} {number} {attempt}")
