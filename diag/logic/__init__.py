"""Conditions over facts: three-valued evaluation, sums of quantities, and what depends on what."""
