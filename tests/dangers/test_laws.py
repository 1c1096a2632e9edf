"""The laws of a session on the shipped rulebook: few examples, as each takes a second.

The same laws are tried on many small rulebooks beside the session's other tests.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from diag.session.compiled_rulebook import CompiledRulebook
from diag.session.journal.events import Event, Undone
from diag.session.next_prompt import next_prompt
from diag.session.state import SessionState
from tests.dangers.shipped import begin, book
from tests.session.drawn_events import journals
from tests.session.test_laws import stands, without

UNIT = "medium 24 V"
FEW = settings(max_examples=5, deadline=None, suppress_health_check=list(HealthCheck))
complaints = st.sampled_from(sorted(book().complaints))


def replayed(complaint: str, journal: Sequence[Event]) -> SessionState:
    return begin(UNIT, complaint).replay(journal)


@FEW
@given(data=st.data(), complaint=complaints)
def test_taking_back_is_never_having_done_it(data: st.DataObject, complaint: str) -> None:
    """Law 1, retraction: an act that is undone leaves nothing behind, nor any danger of it."""
    journal = data.draw(journals(book(), complaint, UNIT))
    if not journal:
        return
    gone = data.draw(st.integers(0, len(journal) - 1))
    undone, spared = replayed(complaint, journal), replayed(complaint, without(journal, gone))
    undone.apply(Undone(gone))
    assert spared.dangers.held == undone.dangers.held
    assert stands(spared) == stands(undone)


@FEW
@given(data=st.data(), complaint=complaints)
def test_step_by_step_equals_all_at_once(data: st.DataObject, complaint: str) -> None:
    """Law 3: a prompt is a function of the journal, however its entries came in."""
    journal = data.draw(journals(book(), complaint, UNIT))
    stepped = begin(UNIT, complaint)
    for event in journal:
        stepped.apply(event)
    assert stands(replayed(complaint, journal)) == stands(stepped)


@FEW
@given(data=st.data(), complaint=complaints)
def test_a_journal_of_another_book_replays(data: st.DataObject, complaint: str) -> None:
    """Law 2: what a book that has lost half its causes does not know is left out, told."""
    journal = data.draw(journals(book(), complaint, UNIT))
    gone = set(sorted(book().causes)[::2])
    causes = {name: one for name, one in book().causes.items() if name not in gone}
    less = replace(book(), causes=causes)
    unit = less.units[UNIT]
    rules = tuple(rule for rule in less.rules if rule.then.name not in gone)
    less = replace(less, rules=rules)
    state = SessionState(less, unit, complaint, CompiledRulebook.of(less, unit)).replay(journal)
    assert next_prompt(state)
    assert set() == {repair.cause for repair in state.repairs} & gone
    for sentence in state.left_out:
        assert "\n" not in sentence
        assert sentence.endswith("left out")
