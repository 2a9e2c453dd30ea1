"""An entry is replaced once: who comes second sees what the first one wrote."""

from typing import Any

from witnessmark.record.acts.by import Conflict
from witnessmark.record.models import Evidence
from witnessmark.shop.periods import zone


def must_stand(entry: Evidence, *, yours: Any) -> None:
    """Refuse to replace an entry that someone else has already replaced."""
    newer = type(entry).objects.filter(replaces=entry).select_related("by").first()
    if newer is None:
        return
    raise Conflict(
        f"Someone replaced this entry at {newer.received_at.astimezone(zone()):%H:%M}, before you.",
        "Both values are shown; only one can stand.",
        "Look at the newer one, and correct that if it is wrong.",
        theirs=newer,
        yours=yours,
    )
