"""What the entries of a job point to: each person, device and reason fetched once for all kinds."""

from collections.abc import Sequence
from typing import Any, Final
from uuid import UUID

from witnessmark.log.models import Aside
from witnessmark.people.models import Device, Person

_POINTERS: Final = {"by": Person, "device": Device, "reason_aside": Aside}


class Pointed:
    """The people, devices and reasons of one job's entries that were met so far."""

    def __init__(self) -> None:
        self._met: dict[str, dict[UUID, Any]] = {name: {} for name in _POINTERS}

    def fill(self, rows: Sequence[Any]) -> None:
        """Put on each entry who made it, on which device, and its reason."""
        for name, model in _POINTERS.items():
            met = self._met[name]
            pointing = [(row, pk) for row in rows if (pk := getattr(row, f"{name}_id")) is not None]
            new = {pk for _, pk in pointing} - met.keys()
            if new:
                met |= model._default_manager.in_bulk(new)
            for row, pk in pointing:
                setattr(row, name, met[pk])
