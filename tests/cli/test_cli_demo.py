"""The demo command: a clock of its own, a folder of its own."""

import sqlite3
from datetime import UTC, datetime, timedelta

from witnessmark.cli.demo import _clock_offset_s
from witnessmark.cli.main import main


def filled(folder, last):
    with sqlite3.connect(folder / "shop.sqlite3") as database:
        database.execute("CREATE TABLE log_entry (at TEXT)")
        database.execute("INSERT INTO log_entry VALUES (?)", [last])
    return {"now": "2026-11-24T11:12:00+00:00"}


def shown(offset_s):
    return datetime.now(UTC) + timedelta(seconds=offset_s)


def test_the_demo_clock_starts_on_its_tuesday(tmp_path):
    offset_s = _clock_offset_s(filled(tmp_path, "2026-11-24 11:08:00"), tmp_path)

    assert abs(shown(offset_s) - datetime(2026, 11, 24, 11, 12, tzinfo=UTC)) < timedelta(seconds=2)


def test_the_demo_clock_goes_on_from_the_last_entry(tmp_path):
    offset_s = _clock_offset_s(filled(tmp_path, "2026-11-24 13:30:00.5"), tmp_path)

    assert abs(shown(offset_s) - datetime(2026, 11, 24, 13, 30, tzinfo=UTC)) < timedelta(seconds=2)


def test_a_folder_with_something_else_in_it_is_left_alone(tmp_path, capsys):
    (tmp_path / "thesis.txt").write_text("years of work")

    assert main(["demo", "--folder", str(tmp_path), "--fresh"]) == 2

    assert "something else" in capsys.readouterr().err
    assert (tmp_path / "thesis.txt").read_text() == "years of work"
