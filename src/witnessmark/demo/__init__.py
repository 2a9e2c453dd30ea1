"""Skerry Point, the invented demo school, played through the same acts as real use."""
