"""Belief in causes: competing risks, links, evidence, posterior, and readings that do not fit."""
