"""Tools for those who write rules: worked cases, and reading an entry back."""
