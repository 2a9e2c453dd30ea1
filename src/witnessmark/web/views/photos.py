"""Photos of a job, for those who may open the job."""

from pathlib import Path
from uuid import UUID

from django.conf import settings
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import path
from django.views.decorators.http import require_GET

from witnessmark.record.models import Photo
from witnessmark.web import gate


@require_GET
def photo(request: HttpRequest, photo_id: UUID) -> HttpResponse:
    """Send one photo; it never changes, so the browser may keep it."""
    row = get_object_or_404(Photo.objects.select_related("picture_aside", "job"), pk=photo_id)
    gate.job_for(request.person, row.job.number)
    if not row.file_name:
        raise Http404
    found = Path(settings.MEDIA_ROOT) / row.file_name
    if not found.is_file():
        raise Http404
    answer = FileResponse(found.open("rb"), content_type="image/jpeg")
    answer.headers["Cache-Control"] = "private, max-age=31536000, immutable"
    answer.headers["X-Content-Type-Options"] = "nosniff"
    return answer


urls = [path("photos/<uuid:photo_id>", photo)]
