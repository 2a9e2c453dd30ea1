"""Clearances, bearings in order and clocked."""
