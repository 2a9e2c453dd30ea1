"""A step as canonical JSON, for the record's own copy, and back."""

import json
from dataclasses import fields
from enum import StrEnum
from typing import Any

import rfc8785

from witnessmark.work.steps import (
    Closing,
    Hold,
    How,
    Measurement,
    OffItem,
    OnItem,
    Phase,
    PhotoNeed,
    Step,
    StepKind,
)


def step_to_json(step: Step) -> str:
    """Return a whole step as canonical JSON.

    Parameters
    ----------
    step
        The step.

    Returns
    -------
    str
        Every field, with keys in order; entries that are empty stand too.

    Examples
    --------
    >>> step_from_json(step_to_json(Step(key="a", title="A", minutes=5))).minutes
    5
    """
    return rfc8785.dumps(_plain(step)).decode()


def step_from_json(text: str) -> Step:
    """Return the step that a text of `step_to_json` holds.

    Parameters
    ----------
    text
        The JSON; a field that it lacks takes its usual value.

    Returns
    -------
    Step
        The same step.
    """
    kept = json.loads(text)
    kept["kind"] = StepKind(kept["kind"])
    kept["hold"] = Hold(kept["hold"])
    kept["measurements"] = tuple(
        Measurement(**_tuples(one) | {"phase": Phase(one["phase"])}) for one in kept["measurements"]
    )
    kept["photos"] = tuple(PhotoNeed(**one) for one in kept["photos"])
    kept["off"] = tuple(OffItem(**one | {"how": How(one["how"])}) for one in kept["off"])
    kept["on"] = tuple(OnItem(**one | {"kind": Closing(one["kind"])}) for one in kept["on"])
    return Step(**_tuples(kept))


def _tuples(kept: dict[str, Any]) -> dict[str, Any]:
    return {key: tuple(one) if isinstance(one, list) else one for key, one in kept.items()}


def _plain(value: Any) -> Any:
    if isinstance(value, StrEnum):
        return str(value)
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    if hasattr(value, "__dataclass_fields__"):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    return value
