"""Bench sums beside a session: what is known there goes in, and what they say is kept."""
