"""The slow and obvious evaluator: tries every rule until none says anything new."""

from collections.abc import Mapping, Sequence

from diag.logic.evaluate import evaluate
from diag.logic.figure import Held, work_out_figure
from diag.logic.graph import Circle, stratify
from diag.model.expression import names_in
from diag.model.rulebook import Fact, Figure, Rule, UnitData, Value
from diag.reason.chain.dependency_order import cell_name


class SlowChain:
    """The conclusions from some readings, layer by layer, rule by rule, round by round."""

    def __init__(
        self,
        rules: Sequence[Rule],
        figures: Mapping[str, Figure],
        unit: UnitData,
        told: Mapping[str, Value],
    ) -> None:
        self.rules = rules
        self.figures = figures
        self.open: dict[str, frozenset[str]] = {}
        self.facts: set[Fact] = set()
        self.rounds: list[set[Fact]] = []
        self.values: dict[str, Held] = {f"unit {name}": held for name, held in unit.data.items()}
        for name, value in told.items():
            self.values[name] = frozenset((value,)) if isinstance(value, str) else value
        self._compute_figures()
        layers = stratify(rules, figures)
        assert not isinstance(layers, Circle)
        for layer in range(max(layers.values(), default=0) + 1):
            self._run([rule for rule in rules if layers[rule.then.name] == layer])
        self._widen()

    def _compute_figures(self) -> None:
        for _ in self.figures:
            for name, figure in self.figures.items():
                try:
                    worked_out = work_out_figure(figure, self)
                except ValueError:
                    continue
                if worked_out:
                    self.values[name] = worked_out

    def _run(self, rules: Sequence[Rule]) -> None:
        while True:
            found = {rule.then for rule in rules if evaluate(rule.when, self).truth}
            if found <= self.facts:
                return
            self.rounds.append(found - self.facts)
            self.facts |= found
            for fact in found:
                held = self.values.get(cell_name(fact), frozenset())
                assert isinstance(held, frozenset)
                self.values[cell_name(fact)] = held | {fact.state}

    def _widen(self) -> None:
        """What would make each concluded or computed name known, grown until it stands."""
        self.open = {name: frozenset() for name in self.figures}
        self.open |= {cell_name(rule.then): frozenset() for rule in self.rules}
        while True:
            wider = dict(self.open)
            for name, figure in self.figures.items():
                below = (self.deciders(each) for each in names_in(*figure.terms))
                wider[name] = wider[name].union(*below)
            for rule in self.rules:
                wider[cell_name(rule.then)] |= evaluate(rule.when, self).missing
            if wider == self.open:
                return
            self.open = wider

    def value(self, name: str) -> Held | None:
        return self.values.get(name)

    def figure(self, name: str) -> Figure | None:
        return self.figures.get(name)

    def deciders(self, name: str) -> frozenset[str]:
        if name in self.values:
            return frozenset()
        return self.open.get(name, frozenset((name,)))

    @property
    def firing(self) -> dict[Fact, list[str]]:
        """Each fact and the ids of the rules that support it, in the order of the rules."""
        found: dict[Fact, list[str]] = {}
        for rule in self.rules:
            if evaluate(rule.when, self).truth:
                found.setdefault(rule.then, []).append(rule.id)
        return found
