"""The log is played again: whatever column stands otherwise than it says is named."""

import json
from datetime import UTC, datetime
from uuid import uuid4

import pytest
from django.apps import apps
from django.db import connection, models, transaction
from django.test import override_settings

from tests.record.conftest import TUESDAY
from tests.record.whole_shop import everything
from witnessmark.log.kept import Kept
from witnessmark.log.models import Aside, Entry, Head
from witnessmark.people.models import Guess, Person
from witnessmark.record.replay import kept_models, verify_rows
from witnessmark.record.verify import verify_record
from witnessmark.shop import clock
from witnessmark.shop.models import usual_tools

pytestmark = pytest.mark.django_db
THE_LOG_ITSELF = {  # what the chain verifies
    Entry: "its digest covers it and the entry before",
    Aside: "its digest stands in its entry",
    Head: "it is compared with the last entry",
}
NOT_SAID = {  # the whole list: what it takes to get onto it is a reason
    (Person, "last_login"),
    (Guess, "last_at"),
}


def guarded_columns() -> list[tuple[type[Kept], models.Field]]:
    return [
        (model, field)
        for model in kept_models()
        for field in (*model._meta.concrete_fields, *model._meta.many_to_many)
        if not field.primary_key and field.attname not in model.unsaid
    ]


@pytest.fixture(scope="module")
def played(django_db_setup, django_db_blocker, tmp_path_factory):
    """Play a shop once for all these tests; each takes back what it edits."""
    photos = tmp_path_factory.mktemp("photos")
    quick = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    settings = override_settings(PASSWORD_HASHERS=quick, MEDIA_ROOT=photos)
    with django_db_blocker.unblock(), transaction.atomic():
        with settings, clock.at(TUESDAY):
            shop = everything()
            assert verify_record() == ()
        yield shop, photos
        transaction.set_rollback(True)


@pytest.fixture
def whole(played, photo_folder, settings):
    """Return the shop as it was played; what a test edits is taken back."""
    shop, settings.MEDIA_ROOT = played
    with transaction.atomic():
        yield shop
        transaction.set_rollback(True)


def edit(sql: str, *values: object) -> None:
    with connection.cursor() as cursor:
        cursor.execute(sql, values)
        assert cursor.rowcount == 1, f"{cursor.rowcount} rows: {sql}"


def found() -> list[str]:
    return [finding.what for finding in verify_record()]


# Each kind of row, edited as somebody would who can write SQL; and the sentence that names it.
EDITS = {
    "a role": (
        "UPDATE people_person SET role = 'teacher' WHERE name = 'Isla'",
        "Person Isla: role is 'teacher', entry 3 says 'learner'.",
    ),
    "who may sign in": (
        "UPDATE people_person SET is_active = false WHERE name = 'Tam'",
        "Person Tam: is_active is 'False', entry 4 says 'True'.",
    ),
    "a name": (
        "UPDATE people_person SET name = 'Ilsa' WHERE name = 'Isla'",
        "Person Ilsa: name is 'Ilsa', entry 3 says 'Isla'.",
    ),
    "a PIN": (
        "UPDATE people_person SET pin = (SELECT pin FROM people_person WHERE name = 'Tam') "
        "WHERE name = 'R. Aldane'",
        "Person R. Aldane: pin is another than entry 1 says.",
    ),
    "a section": (
        "UPDATE people_section SET name = 'Section 3'",
        "Section 3: name is 'Section 3', entry 2 says 'Section 2'.",
    ),
    "a membership": (
        "UPDATE people_membership SET \"end\" = '2026-11-20' WHERE person_id = "
        "(SELECT id FROM people_person WHERE name = 'Isla')",
        "Membership Isla in Section 2: end is '2026-11-20', entry 3 says nothing.",
    ),
    "a permit": (
        "UPDATE people_permit SET level = 'allowed'",
        "Permit Isla: lift allowed: level is 'allowed', entry 22 says 'beside'.",
    ),
    "what a complaint means": (
        "UPDATE record_complaint SET \"key\" = 'dead' WHERE sheet_id IS NOT NULL",
        "Complaint dead: key is 'dead', entry",
    ),
    "which sheet a complaint is tied to": (
        "UPDATE record_complaint SET sheet_id = (SELECT sheet_id FROM record_step "
        "WHERE sheet_id IS NOT NULL LIMIT 1) WHERE sheet_id IS NOT NULL",
        "Complaint slow: sheet is ",
    ),
    "when a device closes": (
        "UPDATE people_device SET until = '2027-01-01 00:00:00'",
        "Device Shop tablet 2: until is '2027-01-01T00:00:00.000000Z', entry 7 says "
        "'2026-11-24T19:12:00.000000Z'.",
    ),
    "wrong tries at a PIN": (
        "UPDATE people_guess SET wrong = 1 WHERE wait_until IS NOT NULL",
        "wrong is '1', entry",
    ),
    "the end of a wait": (
        "UPDATE people_guess SET wait_until = NULL, wrong = 0 WHERE wait_until IS NOT NULL",
        "wait_until is nothing, entry",
    ),
    "the shop's rule": (
        "UPDATE shop_shop SET within_at = 0.5",
        "Shop Skerry Point Technical School: within_at is '0.5', entry 1 says '0.95'.",
    ),
    "a bay": (
        "UPDATE shop_bay SET kind = 'bench'",
        "Bay North bay: kind is 'bench', entry 19 says 'bay'.",
    ),
    "a period": (
        "UPDATE shop_period SET presence = 'out'",
        "Period 2026-11-24 period 3: presence is 'out', entry",
    ),
    "an instrument": (
        "UPDATE shop_instrument SET resolution = '0.1 N·m'",
        "Instrument Wrench 2: resolution is '0.1 N·m', entry 8 says '0.5 N·m'.",
    ),
    "a sheet in the Library": (
        "UPDATE shop_libraryitem SET text = 'another' WHERE kind = 'procedure'",
        "Library item Water pump, version 1: text is 'sha256:",
    ),
    "a half-done circuit sheet": (
        "UPDATE shop_circuitdraft SET text = 'another' WHERE title = 'Work lamp'",
        "Circuit draft Work lamp: text is 'sha256:",
    ),
    "a half-done sheet back on the shelf": (
        "UPDATE shop_circuitdraft SET ended_at = NULL WHERE title = 'Horn'",
        "Circuit draft Horn: ended_at is nothing, entry",
    ),
    "an owner": (
        "UPDATE record_owner SET phone = '555 9999' WHERE phone = '555 0114'",
        "Owner Island Library: phone is '555 9999', entry 10 says '555 0114'.",
    ),
    "a vehicle": (
        "UPDATE record_vehicle SET plate = 'XX 1' WHERE name = 'Library bus'",
        "Vehicle Library bus: plate is 'XX 1', entry 10 says nothing.",
    ),
    "a closing time": (
        "UPDATE record_job SET closed_at = '2026-11-24 12:00:00' WHERE number = 101",
        "J-101 Library bus: Job J-101 Library bus: closed_at is '2026-11-24T12:00:00.000000Z', "
        "entry 10 says nothing.",
    ),
    "when work was opened": (
        "UPDATE record_job SET work_started_at = NULL WHERE number = 101",
        "J-101 Library bus: Job J-101 Library bus: work_started_at is nothing, entry 13 says "
        "'2026-11-24T11:12:00.000000Z'.",
    ),
    "where a vehicle stands": (
        "UPDATE record_job SET bay_id = NULL WHERE number = 101",
        "J-101 Library bus: Job J-101 Library bus: bay is nothing, entry 20 says 'North bay'.",
    ),
    "a crew": (
        "UPDATE record_crew SET person_id = (SELECT id FROM people_person WHERE name = 'Mika') "
        "WHERE step_id IS NULL AND person_id = "
        "(SELECT id FROM people_person WHERE name = 'Tam')",
        "person is 'Mika', entry 11 says 'Tam'.",
    ),
    "a crew's end": (
        "UPDATE record_crew SET until = NULL "
        "WHERE id = (SELECT id FROM record_crew WHERE until IS NOT NULL LIMIT 1)",
        "until is nothing, entry",
    ),
    "a part on order": (
        "UPDATE record_partorder SET arrived_at = '2026-11-24 12:00:00'",
        "J-101 Library bus, step 2 Torque pump bolts: Part order front seal: arrived_at is",
    ),
    "a step that was dropped": (
        "UPDATE record_step SET dropped_at = '2026-11-24 12:00:00' WHERE position = 2",
        "Step 2, Torque pump bolts: dropped_at is",
    ),
    "a plan": (
        "UPDATE record_plan SET published_at = NULL",
        "Plan 1: published_at is nothing, entry",
    ),
    "a sitting": (
        "UPDATE record_plannedsitting SET start = '2026-11-24 10:00:00'",
        "start is '2026-11-24T10:00:00.000000Z', entry",
    ),
    "the crew of a sitting": (
        "DELETE FROM record_plannedsitting_crew WHERE person_id = "
        "(SELECT id FROM people_person WHERE name = 'Tam')",
        "crew is ",
    ),
    "what lies where": (
        "UPDATE record_ledgerline SET place_aside_id = what_aside_id WHERE key = 'coolant'",
        "Ledger line coolant: place_aside is 'Coolant', entry 16 says 'Drum C2'.",
    ),
    "what a circuit answered in practice": (
        "UPDATE record_practicetest SET text = '9.99 V' WHERE number = 1",
        "Practice test test 1: text is '9.99 V', entry",
    ),
    "what was hidden": (
        "UPDATE record_practicecase SET secret = '{}' WHERE number = 1",
        "Practice 1: secret is another than entry",
    ),
    "a seal": (
        "UPDATE record_practicecase SET seal = 'ab' WHERE number = 1",
        "The seal of Practice 1 does not fit what was hidden.",
    ),
    "how an attempt ended": (
        "UPDATE record_practiceend SET verdict = 'wrong'",
        ": verdict is 'wrong', entry",
    ),
    "the words of a look": (
        "UPDATE log_aside SET text = 'Seal lip, back' WHERE text = 'Seal lip, front'",
        "The text (what) beside entry",
    ),
}


@pytest.mark.parametrize(("sql", "said"), EDITS.values(), ids=EDITS.keys())
def test_what_is_edited_behind_the_programs_back_is_named(whole, sql, said):
    edit(sql)
    assert [one for one in found() if said in one], found()


@pytest.mark.parametrize(
    ("model", "field"),
    guarded_columns(),
    ids=lambda one: one.__name__ if isinstance(one, type) else one.name,
)
def test_every_guarded_column_is_named_when_it_is_edited(whole, model, field):
    row = _one_row(model, field)
    if field.many_to_many:
        table = field.remote_field.through._meta.db_table
        edit(f"DELETE FROM {table} WHERE id = (SELECT min(id) FROM {table})")
    else:
        pk = model._meta.pk
        edit(
            f'UPDATE {model._meta.db_table} SET "{field.column}" = %s WHERE "{pk.column}" = %s',
            _another(field, getattr(row, field.attname)),
            pk.get_db_prep_value(row.pk, connection),
        )
    named = f": {field.attname.removesuffix('_id')} is "
    assert [one for one in verify_record() if named in one.what and one.subject_id == row.pk]


def _one_row(model: type[Kept], field: models.Field) -> Kept:
    rows = model._base_manager.all()
    if model is Guess:
        rows = rows.exclude(wait_until=None)
    row = rows.first()
    assert row is not None, f"no {model.__name__} was played"
    return row


def _another(field: models.Field, value: object) -> object:
    """Return a value that the column could hold, and does not."""
    match field:
        case models.BooleanField():
            return not value
        case models.JSONField():
            return '["another"]'
        case models.FloatField():
            return 0.123
        case models.IntegerField():
            return int(value or 0) + 1000
        case models.DateTimeField():
            return datetime(2001, 1, 1, tzinfo=UTC).strftime("%Y-%m-%d %H:%M:%S")
        case models.DateField():
            return "2001-01-01"
        case models.TimeField():
            return "00:01:00"
        case models.UUIDField() | models.ForeignKey():
            return uuid4().hex
    return f"{value or ''}~"


def test_every_column_of_every_model_is_guarded_or_has_a_reason():
    ours = [
        model
        for model in apps.get_models(include_auto_created=True)
        if model.__module__.startswith("witnessmark.") and model not in THE_LOG_ITSELF
    ]
    tied = {field.remote_field.through for model in ours for field in model._meta.many_to_many}
    assert {model for model in ours if not issubclass(model, Kept)} == tied
    loose = set()
    for model in set(ours) - tied:
        beside = model.typed | model.hidden
        columns = {field.attname for field in model._meta.concrete_fields}
        assert beside | model.unsaid.keys() <= columns
        said = model().said().keys() | beside | {model._meta.pk.attname}
        for column in columns - said:
            assert model.unsaid[column].strip(), f"{model.__name__}.{column} has no reason"
            loose.add((model, column))
    assert loose == NOT_SAID


def test_a_row_that_no_entry_added_and_one_that_is_gone_are_found(whole):
    edit(
        "UPDATE record_crew SET id = %s "
        "WHERE id = (SELECT id FROM record_crew WHERE until IS NOT NULL LIMIT 1)",
        uuid4().hex,
    )
    said = found()
    assert any(one.endswith("has no entry in the log.") for one in said)
    assert any("Crew" in one and one.endswith("is missing.") for one in said)


def test_a_pin_that_was_swapped_is_named_and_never_printed(whole):
    edit("UPDATE people_person SET pin = 'md5$salt$stolen' WHERE name = 'R. Aldane'")
    [said] = found()
    assert said == "Person R. Aldane: pin is another than entry 1 says."


def test_a_row_whose_name_hangs_on_one_that_is_gone_is_still_named(whole):
    edit("UPDATE record_job SET vehicle_id = %s WHERE number = 101", uuid4().hex)
    assert any("vehicle is '" in one and "says 'Library bus'" in one for one in found())


def test_a_column_that_came_later_stands_as_it_began_until_an_entry_says_more(whole):
    """As in a shop that was opened before the program knew the column."""
    for entry in Entry.objects.all():
        values = json.loads(entry.values)
        for _, _, columns in [*values["rows"], *values["changed"]]:
            for later in ("find_tools", "qualified", "comes_and_goes"):
                columns.pop(later, None)
        edit('UPDATE log_entry SET "values" = %s WHERE number = %s', json.dumps(values), entry.pk)
    edit("UPDATE shop_shop SET find_tools = %s, qualified = ''", json.dumps(usual_tools()))
    assert tuple(verify_rows()) == ()
    edit("UPDATE shop_shop SET qualified = 'Mallory'")
    edit("UPDATE record_complaint SET comes_and_goes = true WHERE sheet_id IS NULL")
    said = [finding.what for finding in verify_rows()]
    assert any("qualified is 'Mallory', no entry says it." in one for one in said)
    assert any("comes_and_goes is 'True', no entry says nothing." in one for one in said)
