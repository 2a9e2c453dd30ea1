"""Photos of a job, for those who may open the job: whole, and small for the lists."""

from io import BytesIO
from pathlib import Path
from uuid import UUID

from django.conf import settings
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import path
from django.views.decorators.http import require_GET

from witnessmark.record.models import Photo
from witnessmark.web import gate

SMALL_PX = 320


@require_GET
def photo(request: HttpRequest, photo_id: UUID) -> HttpResponse:
    """Send one photo."""
    found = _file(request, photo_id)
    return _kept(FileResponse(found.open("rb"), content_type="image/jpeg"))


@require_GET
def small(request: HttpRequest, photo_id: UUID) -> HttpResponse:
    """Send one photo small: a page with many must open quickly on a school's network."""
    from PIL import Image

    out = BytesIO()
    with Image.open(_file(request, photo_id)) as picture:
        picture.thumbnail((SMALL_PX, SMALL_PX))
        picture.save(out, "JPEG", quality=80)
    return _kept(HttpResponse(out.getvalue(), content_type="image/jpeg"))


def _file(request: HttpRequest, photo_id: UUID) -> Path:
    """Return the file of a photo that this person may see."""
    row = get_object_or_404(Photo.objects.select_related("picture_aside", "job"), pk=photo_id)
    gate.job_for(request.person, row.job.number)
    found = Path(settings.MEDIA_ROOT) / (row.file_name or "")
    if not row.file_name or not found.is_file():
        raise Http404
    return found


def _kept(answer: HttpResponse | FileResponse) -> HttpResponse | FileResponse:
    """Let the browser keep it: a photo never changes, it is replaced by another."""
    answer.headers["Cache-Control"] = "private, max-age=31536000, immutable"
    answer.headers["X-Content-Type-Options"] = "nosniff"
    return answer


urls = [path("photos/<uuid:photo_id>", photo), path("photos/<uuid:photo_id>/small", small)]
