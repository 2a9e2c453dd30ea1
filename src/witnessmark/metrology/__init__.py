"""Readings with uncertainty and verdicts."""

from witnessmark.metrology.advice import Advice, what_to_measure_again
from witnessmark.metrology.budget import Combined, Contribution, Input, combine, coverage_factor
from witnessmark.metrology.estimates import Bench, Estimate, estimate, scatter_seen
from witnessmark.metrology.limits import (
    OUTSIDE_TO,
    WITHIN_FROM,
    Judgement,
    Limit,
    Verdict,
    chance_in_words,
    chance_of_conforming,
    sure_range,
    verdict,
)
from witnessmark.metrology.misreads import (
    Misread,
    grubbs,
    grubbs_critical,
    misreads,
    range_critical,
    wider_than_stated,
)
from witnessmark.metrology.readings import Instrument, Place, Reading

__all__ = [
    "OUTSIDE_TO",
    "WITHIN_FROM",
    "Advice",
    "Bench",
    "Combined",
    "Contribution",
    "Estimate",
    "Input",
    "Instrument",
    "Judgement",
    "Limit",
    "Misread",
    "Place",
    "Reading",
    "Verdict",
    "chance_in_words",
    "chance_of_conforming",
    "combine",
    "coverage_factor",
    "estimate",
    "grubbs",
    "grubbs_critical",
    "misreads",
    "range_critical",
    "scatter_seen",
    "sure_range",
    "verdict",
    "what_to_measure_again",
    "wider_than_stated",
]
