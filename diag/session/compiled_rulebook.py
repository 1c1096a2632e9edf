"""What all sessions on one unit rest on: its rules and the links of all causes, compiled."""

from __future__ import annotations

from diag.logic.rests_on import Direct, directly_below
from diag.model.code_list import unit_rules
from diag.model.frozen import frozen
from diag.model.rulebook import Rule, Rulebook, UnitData
from diag.reason.belief.links import Links, compile_links
from diag.reason.chain.network import Network, compile_rules
from diag.session.dangers.watch import Watched
from diag.session.offer.telling import Telling


@frozen
class CompiledRulebook:
    """A rulebook compiled for one unit; nothing of a session changes it, so many may share it."""

    rules: tuple[Rule, ...]
    network: Network
    links: Links
    below: Direct
    """What figures and signs rest on, as the rules are written."""
    watched: Watched
    telling: Telling

    @classmethod
    def of(cls, rulebook: Rulebook, unit: UnitData) -> CompiledRulebook:
        """Compile the rules, those of the unit's own data among them, and the links."""
        rules = (*rulebook.rules, *unit_rules(rulebook, unit))
        below = directly_below(rules, rulebook.figures)
        network = compile_rules(rules, rulebook.figures, rulebook.signs)
        links = compile_links(rulebook.signs, rulebook.causes)
        watched, telling = Watched.of(rulebook, below), Telling.of(rulebook, links, below)
        return cls(rules, network, links, below, watched, telling)
