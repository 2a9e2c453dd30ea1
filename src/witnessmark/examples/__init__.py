"""Example sheets that ship with the tool; data, no code."""
