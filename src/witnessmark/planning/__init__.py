"""Periods, crews, bays and the teacher's attention."""
