"""The computations that rule files may call, by plain name."""

from diag.model.formula import Formula
from diag.physics.catalogue_heat import HEAT_FORMULAS
from diag.physics.catalogue_supply import SUPPLY_FORMULAS

FORMULAS: tuple[Formula, ...] = SUPPLY_FORMULAS + HEAT_FORMULAS
