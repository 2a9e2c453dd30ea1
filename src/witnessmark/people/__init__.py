"""Accounts, roles, sections, permits, devices."""
