"""The shop and its places, library, jobs and plans: what is refused, what stays."""

from datetime import date, time, timedelta
from uuid import uuid4

import pytest

from tests.record.conftest import PASSWORD, PROCEDURE, TUESDAY, training_six, with_a_permit
from witnessmark.errors import BenchError, Several, SheetError
from witnessmark.log import chain
from witnessmark.people.models import Person
from witnessmark.record.acts import intake, parts, plans
from witnessmark.record.acts.evidence import add_note
from witnessmark.record.acts.school import (
    add_periods,
    put_in_library,
    set_presence,
    start_shop,
)
from witnessmark.record.acts.sheets import choose_procedure, start_work
from witnessmark.record.acts.steps import finish_step, start_step, tell_teacher
from witnessmark.record.core import load
from witnessmark.record.verify import verify_record
from witnessmark.shop.models import LibraryItem, Period, Shop
from witnessmark.shop.periods import WeeklyPeriod

FIRST_START = {
    "name": "Skerry Point",
    "units": "metric",
    "zone": "Europe/Oslo",
    "teacher_name": "R. Aldane",
    "handle": "Aldane",
    "password": PASSWORD,
    "pin": "7391",
}


def test_a_shop_starts_once_with_its_first_teacher(db):
    id = uuid4()
    shop, teacher = start_shop(id, **FIRST_START)
    assert (shop.paper, teacher.handle, teacher.may_mark) == ("A4", "aldane", True)
    assert start_shop(id, **FIRST_START) == (shop, teacher)
    with pytest.raises(BenchError, match="has a teacher already"):
        start_shop(uuid4(), **FIRST_START)
    assert Person.objects.count() == 1
    assert verify_record() == ()


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"name": " "}, "no name"),
        ({"zone": "Skerry"}, "no time zone"),
        ({"units": "cubits"}, "metric or in inch"),
        ({"handle": "r aldane"}, "one word"),
        ({"pin": "1234"}, "straight up"),
        ({"password": "short"}, "signs"),
    ],
)
def test_a_first_start_that_lacks_something_starts_nothing(db, wrong, said):
    with pytest.raises(BenchError, match=said):
        start_shop(uuid4(), **{**FIRST_START, **wrong})
    assert (Shop.objects.count(), Person.objects.count(), chain.head()) == (0, 0, 0)


def test_periods_are_made_once_for_each_slot(shop):
    by = shop.by(shop.teacher)
    pattern = [
        WeeklyPeriod(
            weekday=1, number=3, start=time(10, 40), end=time(12), section_id=shop.section.pk
        )
    ]
    assert len(add_periods(by, uuid4(), pattern=pattern, first=TUESDAY.date())) == 2
    assert add_periods(by, uuid4(), pattern=pattern, first=TUESDAY.date()) == ()
    period = set_presence(by, uuid4(), period=Period.objects.first(), presence="substitute")
    period.refresh_from_db()
    assert period.presence == "substitute"


def test_a_new_version_in_the_library_is_a_new_row(shop):
    by = shop.by(shop.teacher)
    item = put_in_library(
        by, uuid4(), kind="procedure", text=PROCEDURE + "\n# better\n", name="pump.toml"
    )
    assert (item.title, item.version) == ("Water pump", 2)
    with pytest.raises(BenchError, match="word for word"):
        put_in_library(
            by, uuid4(), kind="procedure", text=PROCEDURE + "\n# better\n", name="pump.toml"
        )


def test_a_sheet_with_mistakes_is_refused_with_their_lines(shop):
    with pytest.raises(SheetError) as refused:
        put_in_library(
            shop.by(shop.teacher),
            uuid4(),
            kind="procedure",
            text=PROCEDURE.replace("minutes = 20", 'minutes = "twenty"'),
            name="pump.toml",
        )
    assert [mistake.line for mistake in refused.value.mistakes] == [14]


def test_a_half_done_intake_is_kept_and_made_a_job(shop):
    by = shop.by(shop.teacher)
    half = intake.save_intake(by, uuid4(), intake=intake.Intake(vehicle="Meals van"))
    assert half.half_done
    with pytest.raises(BenchError, match="half done"):
        add_note(by, uuid4(), job=half, words="too early")
    with pytest.raises(Several, match="lacks the owner's name") as told:
        intake.open_job(
            by, uuid4(), intake=intake.Intake(vehicle="Meals van"), complaint="noise", job=half
        )
    assert {"owner_name", "owner_phone", "promised"} <= {one.field for one in told.value.each}
    whole = intake.Intake(
        vehicle="Meals van", owner_name="Kitchen", owner_phone="555 0120", promised=TUESDAY
    )
    with pytest.raises(BenchError, match="no complaint"):
        intake.open_job(by, uuid4(), intake=whole, complaint=" ", job=half)
    job = intake.open_job(by, uuid4(), intake=whole, complaint="The fan is slow", job=half)
    assert (job, job.half_done, job.number) == (half, False, 102)
    assert load(job).complaints[0].words == "The fan is slow"
    with pytest.raises(BenchError, match="is a job already"):
        intake.open_job(by, uuid4(), intake=whole, complaint="again", job=job)


def test_steps_stand_once_work_is_open(shop):
    by, item = shop.by(shop.teacher), LibraryItem.objects.get()
    with pytest.raises(BenchError, match="has begun"):
        choose_procedure(by, uuid4(), job=shop.job, item=item)


def test_a_procedure_chosen_again_drops_the_first_steps_and_keeps_them(shop):
    by = shop.by(shop.teacher)
    job, item = training_six(shop, PROCEDURE)
    choose_procedure(by, uuid4(), job=job, item=item)
    steps = choose_procedure(by, uuid4(), job=job, item=item)
    assert [step.position for step in steps] == [1, 2, 3]
    assert load(job).steps == steps
    assert job.steps.count() == 6
    assert [sheet.pk for sheet in load(job).sheets] == [steps[0].sheet_id]
    assert verify_record() == ()


def test_work_does_not_open_on_steps_that_do_not_hold_together(shop):
    by = shop.by(shop.teacher)
    text = PROCEDURE.replace('on = [{ key = "coolant", kind = "refilled" }]', "")
    job, item = training_six(shop, text)
    with pytest.raises(BenchError, match="no steps yet"):
        start_work(by, uuid4(), job=job)
    choose_procedure(by, uuid4(), job=job, item=item)
    with pytest.raises(BenchError, match="Coolant is drained in step 1 and never refilled"):
        start_work(by, uuid4(), job=job)


def test_a_step_starts_with_its_cautions_ticked_and_what_it_needs_done(shop):
    by = shop.by(shop.isla)
    with pytest.raises(BenchError, match="1 caution is not ticked"):
        start_step(by, uuid4(), step=shop.step("drain"))
    with pytest.raises(BenchError, match="Step 1, Drain the coolant, is not finished"):
        start_step(by, uuid4(), step=shop.step("bolts"))
    with pytest.raises(BenchError, match="was not started"):
        finish_step(by, uuid4(), step=shop.step("drain"))
    with pytest.raises(BenchError, match="no witness point"):
        tell_teacher(by, uuid4(), step=shop.step("drain"))


def test_a_part_is_waited_for_until_it_arrives(shop):
    order = parts.order_part(
        shop.by(shop.teacher), uuid4(), job=shop.job, what="Gasket", due=date(2026, 12, 1)
    )
    parts.part_arrived(shop.by(shop.isla), uuid4(), order=order)
    order.refresh_from_db()
    assert order.arrived_at == TUESDAY


def test_a_plan_is_queued_stored_and_published_as_a_version(shop):
    by = shop.by(shop.teacher)
    pattern = [
        WeeklyPeriod(
            weekday=1, number=3, start=time(10, 40), end=time(12), section_id=shop.section.pk
        )
    ]
    (period, _) = add_periods(by, uuid4(), pattern=pattern, first=TUESDAY.date())
    plan = plans.queue_plan(by, uuid4(), problem='{"periods": []}')
    with pytest.raises(BenchError, match="no timetable"):
        plans.publish_plan(by, uuid4(), plan=plan)
    sitting = plans.Sitting(
        job=shop.job,
        step=shop.step("drain"),
        period=period,
        start=TUESDAY,
        end=TUESDAY + timedelta(minutes=20),
        crew=(shop.isla, shop.tam),
    )
    stored = plans.store_plan(
        by, uuid4(), plan=plan, status="proven best", result="{}", sittings=[sitting]
    )
    assert {p.name for p in stored.sittings.get().crew.all()} == {"Isla", "Tam"}
    with pytest.raises(BenchError, match="stored already"):
        plans.store_plan(by, uuid4(), plan=plan, status="found")
    assert plans.published_plan() is None
    id = uuid4()
    plans.publish_plan(by, id, plan=plan)
    assert plans.published_plan() == plan
    crew = shop.step("drain").crew.filter(until=None)
    assert {row.person.name for row in crew} == {"Isla", "Tam"}
    entries = chain.head()
    plans.publish_plan(by, id, plan=plan)
    assert (chain.head(), crew.count()) == (entries, 2)
    assert verify_record() == ()


def test_a_plan_whose_crew_may_not_work_is_not_published_by_half(shop):
    by = shop.by(shop.teacher)
    text = with_a_permit(PROCEDURE)
    job, item = training_six(shop, text)
    lift, _, fill = choose_procedure(by, uuid4(), job=job, item=item)
    period = Period.objects.create(
        date=TUESDAY.date(), number=3, start=time(10), end=time(11), section=shop.section
    )
    plan = plans.queue_plan(by, uuid4(), problem="1")
    sittings = [
        plans.Sitting(job=job, step=step, period=period, start=start, end=start, crew=(shop.isla,))
        for step, start in ((fill, TUESDAY), (lift, TUESDAY + timedelta(minutes=20)))
    ]
    plans.store_plan(by, uuid4(), plan=plan, status="found", sittings=sittings)
    entries = chain.head()
    with pytest.raises(BenchError, match="A permit is missing: Lift"):
        plans.publish_plan(by, uuid4(), plan=plan)
    assert plans.published_plan() is None
    assert (chain.head(), job.crew.count()) == (entries, 0)


def test_an_older_plan_is_not_published_over_a_newer_one(shop):
    by = shop.by(shop.teacher)
    older, newer = (plans.queue_plan(by, uuid4(), problem=text) for text in ("1", "2"))
    period = Period.objects.create(
        date=TUESDAY.date(), number=3, start=time(10), end=time(11), section=shop.section
    )
    for plan in (older, newer):
        sitting = plans.Sitting(
            job=shop.job,
            step=shop.step("drain"),
            period=period,
            start=TUESDAY,
            end=TUESDAY + timedelta(minutes=20),
            crew=(),
        )
        plans.store_plan(by, uuid4(), plan=plan, status="found", sittings=[sitting])
    plans.publish_plan(by, uuid4(), plan=newer)
    with pytest.raises(BenchError, match="newer plan"):
        plans.publish_plan(by, uuid4(), plan=older)


def test_what_is_too_long_for_its_column_is_refused_in_words(shop, started):
    from witnessmark.record.acts.ledger import take_off

    with pytest.raises(BenchError, match="121 signs long"):
        take_off(
            shop.by(shop.isla), uuid4(), step=started, what="x" * 121, quantity="1", place="Bag 1"
        )
