"""What a crew types on a step, as its forms send it."""

from uuid import uuid4

from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from tests.web.cast import picture
from witnessmark.record.core import load
from witnessmark.record.models import Job, LedgerLine, Reading
from witnessmark.work.digest import digest


def send(browser: Client, step: int, form: str, /, **typed):
    """Send one form of a step."""
    sent = {"id": str(uuid4()), "tick_id": str(uuid4()), **typed}
    return browser.post(f"/jobs/114/step/{step}/{form}", sent)


def do_first_step(browser: Client) -> None:
    """Housing off: cautions ticked, started, bolts into a bag, finished."""
    assert send(browser, 1, "start", caution=["COOLANT"]).status_code == 302
    off = {"key": "housing-bolt", "what": "Housing bolt", "quantity": "2", "place": "Bag 31"}
    assert send(browser, 1, "off", **off).status_code == 302
    assert send(browser, 1, "finish").status_code == 302


def do_second_step(browser: Client, first: str = "24", second: str = "25") -> None:
    """Housing on: bolts back, both read, a photo, the teacher called."""
    assert send(browser, 2, "start").status_code == 302
    line = LedgerLine.objects.get()
    assert send(browser, 2, "move", line=str(line.pk), kind="back on").status_code == 302
    for position, text in (("1", first), ("2", second)):
        sent = send(browser, 2, "reading", key="bolt", position=position, text=text)
        assert sent.status_code == 302
    photo = SimpleUploadedFile("p.jpg", picture(), "image/jpeg")
    assert send(browser, 2, "photo", key="bolts", photo=photo).status_code == 302
    assert send(browser, 2, "call", what="mark").status_code == 302


def shown_digest(position: int = 2) -> str:
    """Return the digest that the mark page of a step shows now."""
    job = Job.objects.get(number=114)
    record = load(job)
    return digest(record.form(next(one for one in record.steps if one.position == position)))


def reading(position: str) -> Reading:
    """Return the standing reading of one bolt."""
    return Reading.objects.get(key="bolt", position=position, replaced_by=None)
