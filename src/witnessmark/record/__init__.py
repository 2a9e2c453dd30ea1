"""Vehicles, jobs, steps, evidence, marks, ledger, plans; rows to core values and back."""
