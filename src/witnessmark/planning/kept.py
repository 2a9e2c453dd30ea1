"""A week problem and its result as JSON text, to be kept, and back."""

import json
import types
from dataclasses import fields, is_dataclass
from datetime import date, time
from enum import StrEnum
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

from witnessmark.planning.plan import PlanResult
from witnessmark.planning.week import WeekProblem

Value = TypeVar("Value")


def problem_to_text(problem: WeekProblem) -> str:
    """Return a problem as JSON, the same text for the same problem.

    Parameters
    ----------
    problem
        The problem to keep.

    Returns
    -------
    str
        JSON with sorted keys.
    """
    return _dumped(problem)


def problem_from_text(text: str) -> WeekProblem:
    """Return the problem that a text keeps.

    Parameters
    ----------
    text
        What `problem_to_text` returned.

    Returns
    -------
    WeekProblem
        The problem, checked again.
    """
    return _loaded(WeekProblem, text)


def result_to_text(result: PlanResult) -> str:
    """Return a result as JSON.

    Parameters
    ----------
    result
        The result to keep.

    Returns
    -------
    str
        JSON with sorted keys.
    """
    return _dumped(result)


def result_from_text(text: str) -> PlanResult:
    """Return the result that a text keeps.

    Parameters
    ----------
    text
        What `result_to_text` returned.

    Returns
    -------
    PlanResult
        The result.
    """
    return _loaded(PlanResult, text)


def _dumped(value: object) -> str:
    return json.dumps(_plain(value), sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def _loaded(kind: type[Value], text: str) -> Value:
    value = _built(kind, json.loads(text))
    assert isinstance(value, kind)
    return value


def _plain(value: object) -> object:
    if is_dataclass(value) and not isinstance(value, type):
        return {one.name: _plain(getattr(value, one.name)) for one in fields(value)}
    if isinstance(value, frozenset):
        return sorted((_plain(one) for one in value), key=str)
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    if isinstance(value, date | time):
        return value.isoformat()
    return value


def _built(kind: Any, data: Any) -> Any:
    """Build a value of a type from plain data, following the types of its fields."""
    origin, inner = get_origin(kind), get_args(kind)
    if origin in (Union, types.UnionType):
        if data is None:
            return None
        return _built(next(one for one in inner if one is not types.NoneType), data)
    if origin is frozenset:
        return frozenset(_built(inner[0], one) for one in data)
    if origin is tuple:
        if len(inner) == 2 and inner[1] is Ellipsis:
            return tuple(_built(inner[0], one) for one in data)
        return tuple(_built(part, one) for part, one in zip(inner, data, strict=True))
    if is_dataclass(kind):
        hints = get_type_hints(kind)
        return kind(**{name: _built(hints[name], one) for name, one in data.items()})  # type: ignore[operator]
    if kind in (date, time):
        return kind.fromisoformat(data)
    if isinstance(kind, type) and issubclass(kind, StrEnum):
        return kind(data)
    return data
