"""The next act, and the whole policy, of least expected minutes to a cure."""

from diag.reason.plan.problem import (
    Act,
    Check,
    Kind,
    Option,
    Plan,
    Problem,
    Repair,
    Step,
    decisive,
    naming,
)
from diag.reason.plan.reduce import plan_narrowed
from diag.reason.plan.search import plan
from diag.reason.plan.tree import policy_tree

__all__ = [
    "Act",
    "Check",
    "Kind",
    "Option",
    "Plan",
    "Problem",
    "Repair",
    "Step",
    "decisive",
    "naming",
    "plan",
    "plan_narrowed",
    "policy_tree",
]
