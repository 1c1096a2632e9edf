"""For all tests: collect dead circles seldom, as a rulebook is large and most dies without them.

No law fails for being slow: a busy machine is no counterexample, so no wall clock judges one.
"""

import gc

from hypothesis import HealthCheck, settings

gc.set_threshold(100_000, 20, 50)

settings.register_profile("law", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("law")
