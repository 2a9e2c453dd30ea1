"""A reading entered in the browser until the new belief is on the page, without the network."""

import html
import os
import re
import statistics
import tempfile
import time
from pathlib import Path
from uuid import uuid4

import witnessmark
from benchmarks import Row
from tests.diagnosis.bench_play import Vehicle
from tests.diagnosis.fleets import vehicles_with
from tests.networks.made_circuits import large_sheet
from witnessmark.diagnosis.observations import parse_test_key

SHEETS = Path(witnessmark.__file__).parent / "examples" / "circuits"
WITHIN_S = 0.2
READINGS = 6  # of each vehicle
COMPLAINTS = 3  # of each sheet, a vehicle each
SEED = 100


def rows() -> list[Row]:
    """Enter what is advised on vehicles with known faults, one reading after another."""
    from witnessmark.cli.serve import open_folder, prepare_database

    with tempfile.TemporaryDirectory(prefix="witnessmark-bench-") as folder:
        open_folder(Path(folder))
        os.environ["WITNESSMARK_HOSTS"] = "testserver"
        prepare_database()
        texts = {
            path.name: path.read_text(encoding="utf-8") for path in sorted(SHEETS.glob("*.toml"))
        }
        shop = _Shop()
        small = {name: shop.took_s(name, text) for name, text in texts.items()}
        large = shop.took_s("large.toml", large_sheet())
    worst = max(small, key=lambda name: statistics.median(small[name]))
    return [
        _row(f"worst of {len(small)} library circuits, {worst}", small[worst]),
        _row("made circuit of 51 parts", large),
    ]


def _row(what: str, took_s: list[float]) -> Row:
    middle_s = statistics.median(took_s)
    return Row(
        name=f"find: a reading entered until the new belief is there, {what}",
        value=1000.0 * middle_s,
        unit="ms",
        against=f"middle of {len(took_s)} readings, the slowest {1000.0 * max(took_s):.0f} ms; "
        "time of the processor",
        bar="under 200 ms",
        holds=middle_s < WITHIN_S,
    )


class _Shop:
    """A shop with one teacher, who opens a job for each sheet and enters what is advised."""

    def __init__(self) -> None:
        from django.test import Client

        from witnessmark.record.acts.by import By
        from witnessmark.record.acts.people import add_section
        from witnessmark.record.acts.school import start_shop

        password = "three rusty spanners"
        _, teacher = start_shop(
            uuid4(),
            name="Skerry Point Technical School",
            units="metric",
            zone="UTC",
            teacher_name="R. Aldane",
            handle="aldane",
            password=password,
            pin="7391",
        )
        self.by = By(person=teacher)
        self.section = add_section(self.by, uuid4(), name="Section 2")
        self.browser = Client()
        asked = {"handle": "aldane", "password": password}
        assert self.browser.post("/signin/password", asked).status_code == 302
        self.number = 0

    def took_s(self, name: str, text: str) -> list[float]:
        """Return the processor's time for each reading: entry, answer, page."""
        from witnessmark.record.acts.school import put_in_library
        from witnessmark.sheets.circuit import read_circuit

        sheet = read_circuit(text, name)
        item = put_in_library(self.by, uuid4(), kind="circuit", text=text, name=name)
        took: list[float] = []
        for at, complaint in enumerate(sheet.complaints[:COMPLAINTS]):
            case = next(vehicles_with(sheet, complaint, 1, SEED + at))
            vehicle = Vehicle(sheet, case.faults, SEED + at)
            address = self._opened(str(item.pk), complaint.key)
            page = self._page(address)
            for _ in range(READINGS):
                asked = re.search(r'name="test" value="([^"]+)"', page)
                if asked is None:
                    break
                key = html.unescape(asked[1])
                shown = vehicle.answer(parse_test_key(key))
                word = {"outcome": shown.outcome} if shown.outcome else {"text": shown.text}
                typed = {"id": str(uuid4()), "test": key, "present": "yes", **word}
                began = time.thread_time()
                answer = self.browser.post(f"{address}/reading", typed)
                assert answer.status_code == 302, f"{key} of {name} was refused"
                page = self._page(address)
                took.append(time.thread_time() - began)
        assert took, f"nothing could be entered on {name}"
        return took

    def _page(self, address: str) -> str:
        return str(self.browser.get(address).content.decode())

    def _opened(self, sheet: str, complaint: str) -> str:
        from datetime import timedelta

        from witnessmark.record.acts.intake import Intake, open_job
        from witnessmark.record.models import Complaint
        from witnessmark.shop import clock

        self.number += 1
        job = open_job(
            self.by,
            uuid4(),
            intake=Intake(
                vehicle="Meals van",
                make="Brae",
                model="12",
                owner_name="Harbour kitchen",
                owner_phone="555 0117",
                promised=clock.now() + timedelta(days=10),
            ),
            complaint="It does not work as it should.",
            section=self.section,
            number=self.number,
        )
        address = f"/jobs/{job.number}/find"
        opened = {"id": str(uuid4()), "sheet": sheet, "sheet_id": str(uuid4())}
        assert self.browser.post(f"{address}/open", opened).status_code == 302
        row = Complaint.objects.get(job=job)
        tied = {"id": str(uuid4()), "complaint": str(row.pk), "key": complaint}
        assert self.browser.post(f"{address}/complaint", tied).status_code == 302
        return address
