"""Make the small rulebook of bicycle lamps importable for the tests here."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
