"""Faults, tests, belief, the next test."""
