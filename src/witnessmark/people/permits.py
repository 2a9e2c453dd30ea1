"""Permits as they stand: the last one given counts."""

from collections.abc import Iterable
from uuid import UUID

from witnessmark.people.models import Permit, PermitLevel

KINDS = {  # the shop's equipment and kinds of work that need a permit of their own
    "lift": "Lift",
    "stands": "Stands",
    "press": "Press",
    "grinder": "Grinder",
    "brake": "Brake work",
    "battery": "Battery",
    "coolant": "Coolant",
    "live": "Live circuits",
}


def standing(people: Iterable[UUID]) -> dict[UUID, dict[str, str]]:
    """Return each person's level for each kind; what was never given is 'none'."""
    levels: dict[UUID, dict[str, str]] = {person: {} for person in people}
    for permit in Permit.objects.filter(person_id__in=list(levels)).order_by("at"):
        levels[permit.person_id][permit.kind] = permit.level
    return levels


def level(person: UUID, kind: str) -> str:
    """Return one person's level for one kind."""
    return standing([person])[person].get(kind, PermitLevel.NONE.value)
