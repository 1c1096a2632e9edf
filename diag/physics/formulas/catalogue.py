"""The computations that rule files may call, by plain name."""

from diag.model.expression import Formula
from diag.physics.formulas.heat import HEAT_FORMULAS
from diag.physics.formulas.supply import SUPPLY_FORMULAS

FORMULAS: tuple[Formula, ...] = SUPPLY_FORMULAS + HEAT_FORMULAS
