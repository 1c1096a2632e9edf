"""The commissioning sheet: what must hold of a unit, and what was found."""
