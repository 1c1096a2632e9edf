"""Sessions on units that obey physics: drawing them, playing a session or a rival, and counting."""
