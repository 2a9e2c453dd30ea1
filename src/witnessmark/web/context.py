"""What every page knows: the shop, who is here, the navigation."""

from typing import Any

from django.http import HttpRequest

from witnessmark.web.places import NAVIGATION


def every_page(request: HttpRequest) -> dict[str, Any]:
    """Return what base.html prints."""
    person = getattr(request, "person", None)
    shop = getattr(request, "shop", None)
    here = "/" + request.path.strip("/").split("/")[0]
    return {
        "shop": shop,
        "is_demo": bool(shop and shop.is_demo),
        "person": person,
        "device": getattr(request, "device", None),
        "is_teacher": bool(person and person.is_teacher),
        "navigation": [
            {"url": url, "icon": icon, "word": word, "current": url == here}
            for url, icon, word, teachers_only in NAVIGATION
            if person and (person.is_teacher or not teachers_only)
        ],
    }
