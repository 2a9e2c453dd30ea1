"""Vehicles, jobs, steps, evidence, marks, the ledger and plans."""

from witnessmark.record.models.evidence import (
    Call,
    Complaint,
    Correction,
    Evidence,
    Note,
    Photo,
    Reading,
    StepEvent,
    StoredVerdict,
)
from witnessmark.record.models.handover import TakenOver
from witnessmark.record.models.jobs import Crew, Job, Owner, PartOrder, Vehicle
from witnessmark.record.models.ledger import LedgerLine, Movement
from witnessmark.record.models.marks import AdviceSaid, Cause, Mark, Refusal, Release
from witnessmark.record.models.plans import Plan, PlannedSitting
from witnessmark.record.models.practice import (
    PracticeAttempt,
    PracticeCase,
    PracticeEnd,
    PracticeRanking,
    PracticeTest,
)
from witnessmark.record.models.steps import PinnedSheet, Step

__all__ = [
    "AdviceSaid",
    "Call",
    "Cause",
    "Complaint",
    "Correction",
    "Crew",
    "Evidence",
    "Job",
    "LedgerLine",
    "Mark",
    "Movement",
    "Note",
    "Owner",
    "PartOrder",
    "Photo",
    "PinnedSheet",
    "Plan",
    "PlannedSitting",
    "PracticeAttempt",
    "PracticeCase",
    "PracticeEnd",
    "PracticeRanking",
    "PracticeTest",
    "Reading",
    "Refusal",
    "Release",
    "Step",
    "StepEvent",
    "StoredVerdict",
    "TakenOver",
    "Vehicle",
]
