"""The act of saying what else the owner complains of: several at once, or beside the sheet."""

from uuid import uuid5

from django.db import transaction
from django.http import HttpRequest

from witnessmark.errors import BenchError
from witnessmark.record.acts.intake import add_complaint
from witnessmark.record.core import JobRecord
from witnessmark.record.models import Complaint, Job
from witnessmark.record.ties import NONE_OF_IT
from witnessmark.web import gate
from witnessmark.web.find_facts import GOES, Finding


def complaint_asked(record: JobRecord, asked: str) -> Complaint:
    """Return the complaint that a form is about; refuse one that is not there."""
    row = next((one for one in record.complaints if str(one.pk) == asked), None)
    if row is None:
        raise BenchError(
            "That complaint is no longer there.",
            "What was said of it would belong to nothing.",
            "Open Find again and go on with the complaints that it lists.",
        )
    return row


def keep_more(request: HttpRequest, job: Job, record: JobRecord, found: Finding) -> str:
    """Keep every complaint that was tapped, and one in words that is not on the sheet."""
    known = {one.key: one.words for one in found.circuit.complaints}
    row = complaint_asked(record, request.POST.get("complaint", ""))
    keys = [key for key in dict.fromkeys(request.POST.getlist("key")) if key in known]
    beside = " ".join(request.POST.get("beside", "").split())
    if not keys and not beside:
        raise BenchError(
            "Nothing was tapped, and nothing is written.",
            "What else the owner says is on the sheet, or in the owner's words beside it.",
            "Tap it or write it. If there is no more, go on with the test.",
            field="beside",
        )
    by, id = gate.by(request), gate.entry_id(request)
    goes = GOES.get(request.POST["goes"]) if "goes" in request.POST else row.comes_and_goes
    with transaction.atomic():  # all of it is kept, or nothing
        for key in keys:
            add_complaint(
                by,
                uuid5(id, key),
                job=job,
                words=known[key],
                trust=row.trust,
                key=key,
                sheet=found.sheet,
                comes_and_goes=goes,
            )
        if beside:
            add_complaint(
                by, id, job=job, words=beside, trust=row.trust, key=NONE_OF_IT, sheet=found.sheet
            )
    count = len(keys) + bool(beside)
    return "The complaint is kept." if count == 1 else f"The {count} complaints are kept."
