"""The Library as it is used: the newest version of each sheet, and what is half done."""

from witnessmark.shop.models import CircuitDraft, LibraryItem


def half_done() -> list[CircuitDraft]:
    """Return the circuit sheets that are being entered, the last kept first."""
    drafts = CircuitDraft.objects.filter(ended_at=None).select_related("kept_by")
    return list(drafts.order_by("-at"))


def newest(kind: str) -> list[LibraryItem]:
    """Return the newest version of every sheet of a kind, by title."""
    found: dict[str, LibraryItem] = {}
    for item in LibraryItem.objects.filter(kind=kind).order_by("title", "version"):
        found[item.title] = item
    return list(found.values())
