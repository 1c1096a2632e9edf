"""The chest clinic, cast as causes and signs."""

import itertools
import math

from diag.reason.belief.belief import Belief, Priors, start
from diag.reason.belief.links import compile_links
from tests.reason.belief.networks import cause, sign

# Chest clinic: Lauritzen and Spiegelhalter, J. R. Statist. Soc. B 50 (1988) 157-224; the network's
# numbers are published there, the posteriors were computed with pyAgrum and pgmpy.
CLINIC = {
    # evidence: tub, lung, bronc, P(evidence)
    ("dysp",): (0.018845, 0.102759, 0.833967, 0.4359706),
    ("asia", "dysp"): (0.087751, 0.099525, 0.811402, 0.00450138),
    ("asia", "xray"): (0.337716, 0.371487, 0.491102, 0.00145093),
    ("asia", "dysp", "xray"): (0.391712, 0.444271, 0.628822, 0.00098823),
    ("asia", "dysp", "no xray"): (0.002249, 0.002550, 0.862761, 0.00351315),
    ("xray", "dysp"): (0.113933, 0.621253, 0.681869, 0.0706701),
    ("asia", "smoke", "dysp"): (0.072760, 0.145519, 0.867258, 0.0028175),
    ("smoke", "xray"): (0.067183, 0.645991, 0.6, 0.0758524),
}


def chest_clinic() -> Belief:
    """Cast the clinic: each combination of illnesses is one cause, its parents are signs too."""
    ill = [frozenset(s) for n in range(4) for s in itertools.combinations("tlb", n)]

    def joint(s: frozenset[str], asia: bool, smoke: bool) -> float:
        rates = {"t": 0.05 if asia else 0.01, "l": 0.1 if smoke else 0.01}
        rates["b"] = 0.6 if smoke else 0.3
        parents = (0.01 if asia else 0.99) * 0.5
        return parents * math.prod(rates[x] if x in s else 1 - rates[x] for x in "tlb")

    def chances(s: frozenset[str]) -> dict[str, float]:
        either = bool(s & {"t", "l"})
        prior = {(a, m): joint(s, a, m) for a in (True, False) for m in (True, False)}
        dysp = {(True, True): 0.9, (True, False): 0.7, (False, True): 0.8, (False, False): 0.1}
        return {
            "asia": (prior[True, True] + prior[True, False]) / sum(prior.values()),
            "smoke": (prior[True, True] + prior[False, True]) / sum(prior.values()),
            "xray": 0.98 if either else 0.05,
            "dysp": dysp[either, "b" in s],
            "weight": sum(prior.values()),
        }

    well = chances(frozenset())
    leaks = {name: well[name] for name in ("asia", "smoke", "xray", "dysp")}
    signs = {name: sign(name, ("no", "yes"), {"yes": leak}) for name, leak in leaks.items()}
    causes = {}
    for s in ill[1:]:
        mine, name = chances(s), "".join(sorted(s))
        shows = {k: {"yes": max(1 - (1 - mine[k]) / (1 - leak), 0.0)} for k, leak in leaks.items()}
        causes[name] = cause(name, mine["weight"] / well["weight"], shows)
    return start(compile_links(signs, causes), Priors(unknown_odds=0.0), leading=0)
