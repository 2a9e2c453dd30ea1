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


PROCEDURE = """
[procedure]
key = "thermostat"
title = "Thermostat housing"
source = "invented for the tests"

[[steps]]
key = "open"
title = "Housing off"
minutes = 10
operations = ["coolant"]
cautions = ["COOLANT"]
instructions = ["Engine cold. Housing off."]
[[steps.off]]
key = "housing-bolt"
what = "Housing bolt"
quantity = "2"

[[steps]]
key = "close"
title = "Housing on, to torque"
minutes = 15
hold = "hold"
needs = ["open"]
instructions = ["Both bolts by hand, then to the torque."]
[[steps.measure]]
key = "bolt"
what = "Housing bolt"
unit = "N·m"
limit = "20 to 30 N·m"
source = "invented for the tests"
instrument = "torque wrench"
at = ["1", "2"]
[[steps.photos]]
key = "bolts"
what = "Both bolts"
[[steps.on]]
key = "housing-bolt"

[[steps]]
key = "look"
title = "Look for a leak"
minutes = 5
hold = "witness"
needs = ["close"]
instructions = ["Warm the engine. Look under the housing."]
"""


def led_back(browser: Client, answer):
    """Return the page to which a refused form leads back; any other answer as it is."""
    return browser.get(answer.headers["Location"]) if answer.status_code == 303 else answer


def picture(colour: str = "gray") -> bytes:
    """Return a small JPEG."""
    from io import BytesIO

    from PIL import Image

    out = BytesIO()
    Image.new("RGB", (40, 30), colour).save(out, "JPEG")
    return out.getvalue()
