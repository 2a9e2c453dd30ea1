"""A drawing of our own on a page."""

from django.utils.safestring import SafeString, mark_safe


def drawn(svg: str) -> SafeString:
    """Return a drawing as it is; every word that a person wrote was escaped where it was drawn."""
    return mark_safe(svg)  # noqa: S308
