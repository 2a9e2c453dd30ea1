"""A page asks for no kind of entry that a job has not; what it finds is the same."""

import inspect
from functools import cached_property

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.record.whole_shop import everything
from witnessmark.record.core import JobRecord, load
from witnessmark.record.empty_kinds import KINDS, skip_empty
from witnessmark.record.models import Job


@pytest.fixture
def jobs(db, settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    everything()
    return list(Job.objects.all())


def test_what_is_found_is_what_every_query_of_its_own_finds(jobs):
    assert len(jobs) > 1
    looked = [load(job) for job in jobs]
    skip_empty(looked)
    is_there = set()
    for job, record in zip(jobs, looked, strict=True):
        plain = load(job)
        for name in KINDS:
            assert [row.pk for row in getattr(record, name)] == [
                row.pk for row in getattr(plain, name)
            ]
            is_there |= {name} if getattr(plain, name) else set()
    assert is_there == set(KINDS)  # the shop has one of each: none is left out by mistake


def test_one_look_stands_for_every_empty_kind_of_every_job(jobs):
    records = [load(job) for job in jobs]
    empty = sum(not getattr(load(job), name) for job in jobs for name in KINDS)
    assert empty > 0
    with CaptureQueriesContext(connection) as asked:
        skip_empty(records)
        assert len(asked) == 1
        for record in records:
            for name in KINDS:
                getattr(record, name)
    tables = [f'FROM "{model._meta.db_table}" ' for model in KINDS.values()]
    of_a_kind = [one for one in asked.captured_queries if any(t in one["sql"] for t in tables)]
    assert len(of_a_kind) == len(jobs) * len(KINDS) - empty


def test_who_made_the_entries_of_all_kinds_is_fetched_once(jobs):
    (record,) = [load(job) for job in jobs if load(job).readings][:1]
    with CaptureQueriesContext(connection) as asked:
        rows = [row for name in KINDS for row in getattr(record, name)]
        assert len({row.by.name for row in rows}) > 1
        assert all(row.device is None or row.device.name for row in rows)
    people = [one for one in asked.captured_queries if 'FROM "people_person"' in one["sql"]]
    assert 0 < len(people) <= len({row.by_id for row in rows})
    again = {row.by_id: row.by for row in rows}
    assert all(row.by is again[row.by_id] for row in rows)


def test_what_was_fetched_before_the_look_stays(jobs):
    (record,) = [load(job) for job in jobs if load(job).readings][:1]
    before = record.readings
    skip_empty([record])
    assert record.readings is before


def test_every_kind_of_a_job_s_record_is_looked_for():
    kinds = {
        name
        for name, one in vars(JobRecord).items()
        if isinstance(one, cached_property) and "self._entries(" in inspect.getsource(one.func)
    }
    assert kinds == set(KINDS)


def test_no_job_is_no_query(db):
    with CaptureQueriesContext(connection) as asked:
        skip_empty([])
    assert len(asked) == 0
