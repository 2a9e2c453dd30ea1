"""What goes into one run of the solver and what comes out, as values."""

from dataclasses import dataclass

from witnessmark.planning.plan import Sitting


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """How long one search may take, counted in work and not on the clock, and its seed."""

    seconds: float
    seed: int
    workers: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """How one search ended. A proven answer without sittings means that there is none."""

    is_proven: bool
    sittings: tuple[Sitting, ...] | None  # without names
    bound: int
    seconds: float  # of the solver's own work


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One rule of a choice: least <= sum of terms <= most."""

    terms: tuple[tuple[int, int], ...]  # number of the variable, factor
    least: int
    most: int
