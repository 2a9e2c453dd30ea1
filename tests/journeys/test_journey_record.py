"""The record survives a killed server, and says where it was edited behind its back."""

import signal
import sqlite3
import threading
import uuid
from http.cookiejar import CookieJar
from urllib.error import HTTPError, URLError
from urllib.parse import urlencode
from urllib.request import HTTPCookieProcessor, OpenerDirector, Request, build_opener

import pytest

from journeys.hands import TEACHER_PASSWORD
from witnessmark.diagnosis.kinds import EVERYTHING

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("record")]
NOTE = "/jobs/114/step/6/note"


def signed_in(address: str) -> tuple[OpenerDirector, CookieJar]:
    """Return a teacher's browser without a window."""
    jar = CookieJar()
    opener = build_opener(HTTPCookieProcessor(jar))
    opener.open(f"{address}/signin").read()
    post(opener, jar, f"{address}/signin/password", handle="aldane", password=TEACHER_PASSWORD)
    return opener, jar


def post(opener: OpenerDirector, jar: CookieJar, address: str, **fields: str) -> int:
    """Send a form; return its status."""
    token = next(cookie.value for cookie in jar if cookie.name == "csrftoken")
    data = urlencode({**fields, "csrfmiddlewaretoken": token}).encode()
    with opener.open(Request(address, data=data), timeout=20) as answer:
        answer.read()
        return int(answer.status)


def test_a_server_killed_during_entries_has_kept_every_one_it_answered(demo):
    answered: list[str] = []
    stop = threading.Event()
    openers = [signed_in(demo.address) for _ in range(3)]

    def write(opener: OpenerDirector, jar: CookieJar) -> None:
        while not stop.is_set():
            entry = str(uuid.uuid4())
            try:
                post(opener, jar, demo.address + NOTE, id=entry, words=f"note {entry}")
            except (URLError, HTTPError, ConnectionError, OSError):
                return
            answered.append(entry)

    threads = [threading.Thread(target=write, args=pair) for pair in openers]
    for thread in threads:
        thread.start()
    while len(answered) < 25 and any(thread.is_alive() for thread in threads):
        stop.wait(0.02)
    demo.stop(signal.SIGKILL)
    stop.set()
    for thread in threads:
        thread.join()

    assert len(answered) >= 25, demo.said()
    demo.start()
    with sqlite3.connect(demo.folder / "shop.sqlite3") as database:
        kept = {row[0].replace("-", "") for row in database.execute("SELECT id FROM record_note")}
    assert {entry.replace("-", "") for entry in answered} <= kept
    done = demo.verify()
    assert done.returncode == 0, done.stdout


def test_an_entry_edited_behind_the_programs_back_is_named(demo):
    demo.stop()
    with sqlite3.connect(demo.folder / "shop.sqlite3") as database:
        changed = database.execute(
            "UPDATE record_reading SET text = '25.0' WHERE text = '21.0'"
        ).rowcount
    assert changed == 1

    done = demo.verify()

    assert done.returncode == 1
    assert "J-114" in done.stdout
    assert "step 5" in done.stdout.lower()


def test_no_typed_word_of_the_demo_stands_in_its_chain(demo):
    with sqlite3.connect(demo.folder / "shop.sqlite3") as database:
        chain = "".join(row[0] for row in database.execute('SELECT "values" FROM log_entry'))
        texts = database.execute("SELECT text FROM log_aside WHERE text IS NOT NULL").fetchall()

    typed = {text for (text,) in texts if len(text) > 3}
    typed -= EVERYTHING.tools  # an instrument is called what the program calls a tool for Find
    assert {"SP 117", "Meals van", "Isla", "Bag 31"} <= typed
    # a short word such as "rule" is part of a column's name: it must not be a whole value
    assert {text for text in typed if len(text) > 4 and text in chain} == set()
    assert {text for text in typed if f'"{text}"' in chain} == set()


def test_a_real_shop_is_not_served_from_the_demo_folder(demo):
    demo.stop()

    done = demo.command("serve", "--folder", str(demo.folder), "--port", "8199")

    assert done.returncode == 2
    assert "demo shop" in done.stderr
