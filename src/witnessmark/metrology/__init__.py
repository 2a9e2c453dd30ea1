"""Readings with uncertainty and verdicts."""
