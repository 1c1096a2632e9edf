"""For all tests: collect dead circles seldom, as a rulebook is large and most dies without them."""

import gc

gc.set_threshold(100_000, 20, 50)
