"""Ratios measured side by side in one run on one machine; never timed tests."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One measured ratio: what, against what in the same run, and the bar if there is one."""

    name: str
    value: float
    unit: str  # 'x' for a ratio
    against: str
    bar: str = ""  # as the goal words it; empty where there is none
    holds: bool | None = None  # None where there is no bar
