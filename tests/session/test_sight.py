"""Faults in plain sight, and what is read before parts are bought, in a small shop of clocks."""

from __future__ import annotations

from pathlib import Path

import pytest

from diag.model.rulebook import Rulebook
from diag.rulebook import load_rulebook
from diag.session.journal.events import Answered, Declined, Repaired
from diag.session.next_prompt import next_prompt
from diag.session.prompt import AskFinding, Closing, ProposeRepair
from diag.session.state import SessionState

SCALES = (Path(__file__).parents[1] / "books" / "bicycle" / "scales.yaml").read_text("utf-8")
SHOP = """\
source: invented
acts: {turns it: It turns.}
findings:
  glass: {ask: How is the glass?, kind: choice, choices: {whole: so, cracked: not},
    is: {cracked: crack}}
  spring: {ask: How is the spring?, kind: choice, choices: {taut: so, slack: not}}
  wheel: {ask: How is the wheel?, kind: choice, choices: {true: so, bent: not}}
  goes: {ask: Does it go?, kind: yes/no, as it should be: yes}
  stopped before: {ask: Did it stop before?, kind: yes/no, as it should be: no, known by: told}
checks:
  look at the glass: {do: Look., minutes: 1, yields: [glass]}
  feel the spring: {do: Feel it., minutes: 4, yields: [spring]}
  turn the wheel: {do: Turn it., minutes: 3, yields: [wheel]}
  wind it: {do: Wind it., minutes: 1, yields: [goes], acts: [turns it]}
  ask the owner: {do: Ask., minutes: 1, yields: [stopped before]}
complaints:
  stops: {title: It stops, intake: [ask the owner], proof: [goes is yes]}
unit data:
  size: {ask: How big is it?, unit: V, believable: 1 V to 30 V}
"""
UNIT = "source: invented\nunit: the one\ntitle: The one\ndata: {size: 12 V}\n"
CAUSES = {
    "crack": ("rare", "improbable", "glass: {cracked: probable}", "glass is whole", "", ""),
    "worn spring": (
        "common", "probable", "spring: {slack: probable}\n  stopped before: {yes: probable}",
        "spring is taut", ", parts: {spring: small}", "confused with: {bent wheel: wheel}\n",
    ),
    "bent wheel": (
        "common", "probable", "wheel: {bent: probable}\n  stopped before: {yes: improbable}",
        "wheel is true", "", "",
    ),
}  # fmt: skip


def cause(name: str) -> str:
    """Return the text of a cause."""
    share, stops, shows, proof, parts, more = CAUSES[name]
    return (
        f"cause: {name}\ntitle: {name}\narea: shop\nstatus: proven\nsource: invented\n"
        f"share: {share}\ncomplaints: {{stops: {stops}}}\nshows:\n  {shows}\n{more}"
        f"repair: {{do: Put it right., minutes: 20{parts}}}\nproof: [{proof}]\n"
    )


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Rulebook:
    """Return the rulebook of the shop."""
    home = tmp_path_factory.mktemp("clocks")
    (home / "shop").mkdir()
    (home / "shop.yaml").write_text(SHOP, "utf-8")
    (home / "the-one.yaml").write_text(UNIT, "utf-8")
    (home / "scales.yaml").write_text(SCALES, "utf-8")
    for name in CAUSES:
        (home / "shop" / f"{name.replace(' ', '-')}.yaml").write_text(cause(name), "utf-8")
    return load_rulebook([home], {})


def session(shop: Rulebook, **answers: str) -> SessionState:
    """Return a session on a clock that stops, with these answers, seen or told by their kind."""
    state = SessionState(shop, shop.units["the one"], "stops")
    for name, value in answers.items():
        finding = shop.findings[name.replace("_", " ")]
        state.apply(Answered(finding.id, value, finding.how))
    return state


def test_a_fault_in_plain_sight_is_proposed_though_another_explains_the_complaint(
    shop: Rulebook,
) -> None:
    """The crack is put right first, found, although the spring is likelier to stop a clock."""
    state = session(shop, stopped_before="yes", glass="cracked")
    prompt = next_prompt(state)
    assert isinstance(prompt, ProposeRepair)
    assert ("crack", 0.95, True) == (prompt.cause.id, prompt.probability, prompt.sure)


def test_a_fault_in_plain_sight_is_proposed_once_the_complaint_is_gone(shop: Rulebook) -> None:
    """Where the spring was mended and the clock goes, the crack is still there to put right."""
    state = session(shop, stopped_before="yes", glass="cracked", wheel="true", spring="slack")
    state.apply(Declined("crack"))
    state.apply(Repaired("worn spring"))
    for name, value in (("spring", "taut"), ("goes", "yes")):
        state.apply(Answered(name, value, "seen"))
    prompt = next_prompt(state)
    assert isinstance(prompt, ProposeRepair)
    assert prompt.cause.id == "crack"
    state.apply(Declined("crack"))
    assert isinstance(next_prompt(state), Closing)


def test_parts_are_bought_once_the_named_rival_was_looked_for(shop: Rulebook) -> None:
    """A slack spring is replaced after a look at the wheel, and no other check comes between."""
    prompt = next_prompt(session(shop, stopped_before="yes", spring="slack"))
    assert isinstance(prompt, AskFinding)
    assert prompt.finding.id == "wheel"
    after = next_prompt(session(shop, stopped_before="yes", spring="slack", wheel="true"))
    assert isinstance(after, ProposeRepair)
    assert after.cause.id == "worn spring"


def test_hearsay_alone_buys_nothing(shop: Rulebook) -> None:
    """With all that could be looked at passed over, what the owner told proposes no parts."""
    from diag.session.journal.events import Passed

    state = session(shop, stopped_before="yes")
    for name in ("spring", "wheel", "glass", "goes"):
        state.apply(Passed(name, "no light"))
    prompt = next_prompt(state)
    assert not isinstance(prompt, ProposeRepair)
