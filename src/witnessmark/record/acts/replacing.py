"""An entry is replaced once, with a reason: who comes second sees what the first one wrote."""

from typing import Any

from witnessmark.errors import BenchError
from witnessmark.record.acts.by import Conflict
from witnessmark.record.models import Evidence, PinnedSheet
from witnessmark.shop.periods import zone


def must_have_reason(reason: str, for_what: str, old: str) -> None:
    """Refuse to replace an entry without saying why."""
    if not reason.strip():
        raise BenchError(
            f"There is no reason for the {for_what}.",
            f"The old {old} stays on the record, and so does why it was changed.",
            "Choose a reason, or write a word or two.",
        )


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


def must_show_sheet(standing: PinnedSheet, shown: PinnedSheet | None) -> None:
    """Refuse what was entered on a page that shows a sheet which the job uses no more.

    A form without a sheet was `shown` none.
    """
    if shown in (None, standing):
        return
    raise Conflict(
        f"{standing.by.name} gave {standing.job.shown_number} another circuit sheet on "
        f"{standing.at.astimezone(zone()):%d %b at %H:%M}: “{standing.title}”. This page still "
        "showed the one before.",
        "The same letters and words may mean another part there, so nothing was kept.",
        "Look at the new sheet and enter it there, if it still fits.",
        theirs=standing,
        yours=shown,
    )
