"""A fixed cast in an invented shop: who may do what is asked of them on every page."""

from dataclasses import dataclass
from datetime import UTC, datetime

from django.test import Client

from witnessmark.people.models import Device, Person, Section

TUESDAY = datetime(2026, 11, 24, 11, 12, tzinfo=UTC)  # period 3
PASSWORD = "three rusty spanners"
TEACHER_PIN, LEARNER_PIN = "7391", "2846"


@dataclass
class Cast:
    """Who is in the shop."""

    teacher: Person
    section: Section
    on_it: Person  # a learner in the job's crew
    not_on_it: Person  # a learner of the same section, on no job
    device: Device
    token: str

    def browser(self, person: Person | None = None) -> Client:
        """Return a browser with this person signed in; a learner's is the shop's tablet."""
        client = Client()
        if person is None:
            return client
        if person.is_teacher:
            asked = {"handle": person.handle, "password": PASSWORD}
            answer = client.post("/signin/password", asked)
        else:
            client.cookies["device"] = self.token
            answer = client.post(f"/signin/who/{person.pk}", {"pin": LEARNER_PIN})
        assert answer.status_code == 302, answer.content.decode()
        return client
