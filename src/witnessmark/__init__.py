"""Witnessmark: the bench-side job book of a teaching garage."""

__version__ = "0.1.0"
