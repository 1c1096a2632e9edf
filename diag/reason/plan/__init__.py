"""The next act, and the whole policy, of least expected minutes to a cure."""

from diag.reason.plan.problem import (
    Act,
    Action,
    ActKind,
    DecisionProblem,
    Observation,
    Option,
    Plan,
    Step,
    decisive,
    naming,
)
from diag.reason.plan.reduce import plan_reduced
from diag.reason.plan.search import plan
from diag.reason.plan.tree import policy_tree

__all__ = [
    "Act",
    "ActKind",
    "Action",
    "DecisionProblem",
    "Observation",
    "Option",
    "Plan",
    "Step",
    "decisive",
    "naming",
    "plan",
    "plan_reduced",
    "policy_tree",
]
