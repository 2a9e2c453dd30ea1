"""The Library as it is used: the newest version of each sheet."""

from witnessmark.shop.models import LibraryItem


def newest(kind: str) -> list[LibraryItem]:
    """Return the newest version of every sheet of a kind, by title."""
    found: dict[str, LibraryItem] = {}
    for item in LibraryItem.objects.filter(kind=kind).order_by("title", "version"):
        found[item.title] = item
    return list(found.values())
