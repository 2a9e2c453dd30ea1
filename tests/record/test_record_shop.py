"""Acts on the shop and its people: who may, what happens twice, what is refused."""

from datetime import date, time, timedelta
from uuid import uuid4

import pytest

from tests.record.conftest import PASSWORD, PINS, PROCEDURE, TUESDAY
from witnessmark.errors import BenchError, SheetError
from witnessmark.log import chain
from witnessmark.log.models import Entry
from witnessmark.people import permits
from witnessmark.people.devices import device_for, people_of
from witnessmark.people.models import Membership, Permit, Person
from witnessmark.people.sign_in import check_pin
from witnessmark.record.acts import erasing, intake, parts, plans
from witnessmark.record.acts.by import NotAllowed
from witnessmark.record.acts.evidence import add_note
from witnessmark.record.acts.people import (
    add_learner,
    add_section,
    add_teacher,
    close_device,
    give_permit,
    leave_shop,
    move_to_section,
    open_device,
    set_pin,
)
from witnessmark.record.acts.repairs import set_repair_rules
from witnessmark.record.acts.school import (
    add_bay,
    add_instrument,
    add_periods,
    change_shop,
    put_in_library,
    set_presence,
    start_shop,
)
from witnessmark.record.acts.sheets import choose_procedure, start_work
from witnessmark.record.acts.steps import assign_crew, finish_step, start_step, tell_teacher
from witnessmark.record.core import load
from witnessmark.record.models import Plan
from witnessmark.record.verify import verify_record
from witnessmark.shop import clock
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


def test_two_people_of_one_name_stay_two(shop):
    by = shop.by(shop.teacher)
    other = add_learner(by, uuid4(), name="Isla", section=shop.section, pin="5172")
    assert other != shop.isla
    assert [p.name for p in people_of(shop.section.pk, TUESDAY.date())].count("Isla") == 2


def test_an_outside_number_belongs_to_one_person(shop):
    by = shop.by(shop.teacher)
    facts = {"section": shop.section, "pin": "5172", "outside_id": "S-17"}
    add_learner(by, uuid4(), name="Oona", **facts)
    with pytest.raises(BenchError, match="school number"):
        add_learner(by, uuid4(), name="Nils", **facts)


def teachers_acts(shop):
    """Everything that only a teacher, or the office, may do."""
    person, section, job = shop.mika, shop.section, shop.job
    item = LibraryItem.objects.first()
    plan = Plan(version=1)
    return {
        "add_section": (add_section, {"name": "Section 3"}),
        "add_learner": (add_learner, {"name": "Oona", "section": section, "pin": "5172"}),
        "add_teacher": (
            add_teacher,
            {"name": "N.", "handle": "n", "password": PASSWORD, "pin": "5172"},
        ),
        "set_pin": (set_pin, {"person": shop.tam, "pin": "5172"}),
        "give_permit": (give_permit, {"person": person, "kind": "lift", "level": "allowed"}),
        "move_to_section": (
            move_to_section,
            {"person": person, "section": section, "start": date(2026, 12, 1)},
        ),
        "leave_shop": (leave_shop, {"person": person}),
        "open_device": (
            open_device,
            {"name": "T", "section": section, "until": TUESDAY + timedelta(hours=1)},
        ),
        "add_bay": (add_bay, {"name": "Bay 1"}),
        "add_periods": (add_periods, {"pattern": [], "first": TUESDAY.date()}),
        "add_instrument": (
            add_instrument,
            {"name": "M", "kind": "meter", "resolution": "0.01 V"},
        ),
        "put_in_library": (
            put_in_library,
            {"kind": "procedure", "text": PROCEDURE + "# 2", "name": "p.toml"},
        ),
        "change_shop": (
            change_shop,
            {
                "units": "inch",
                "paper": "Letter",
                "tools_down_minutes": 5,
                "within_at": 0.95,
                "outside_at": 0.05,
            },
        ),
        "set_repair_rules": (set_repair_rules, {"joint_rule": "crimp", "own_drop": "0.3 V"}),
        "choose_procedure": (choose_procedure, {"job": job, "item": item}),
        "start_work": (start_work, {"job": job}),
        "assign_crew": (assign_crew, {"job": job, "people": [person]}),
        "give_job_section": (intake.give_job_section, {"job": job, "section": section}),
        "give_job_bay": (intake.give_job_bay, {"job": job, "bay": None}),
        "set_promise": (intake.set_promise, {"job": job, "promised": TUESDAY}),
        "open_job": (
            intake.open_job,
            {"intake": intake.Intake(vehicle="X", kind="training"), "complaint": ""},
        ),
        "order_part": (parts.order_part, {"job": job, "what": "Gasket"}),
        "queue_plan": (plans.queue_plan, {"problem": "{}"}),
        "publish_plan": (plans.publish_plan, {"plan": plan}),
        "erase_person": (erasing.erase_person, {"person": person}),
    }


@pytest.mark.parametrize("who", ["isla", "aide"])
def test_a_learner_or_aide_does_none_of_the_teachers_acts(shop, who):
    entries, people = chain.head(), Person.objects.count()
    for name, (act, facts) in teachers_acts(shop).items():
        with pytest.raises(NotAllowed):
            act(shop.by(getattr(shop, who)), uuid4(), **facts)
            pytest.fail(f"{who} may {name}")
    assert (chain.head(), Person.objects.count()) == (entries, people)


SENT_TWICE = (
    "add_section",
    "add_learner",
    "add_teacher",
    "set_pin",
    "give_permit",
    "move_to_section",
    "leave_shop",
    "add_bay",
    "add_instrument",
    "put_in_library",
    "change_shop",
    "set_repair_rules",
    "assign_crew",
    "give_job_section",
    "give_job_bay",
    "set_promise",
    "open_job",
    "order_part",
    "queue_plan",
    "erase_person",
)


@pytest.mark.parametrize("name", SENT_TWICE)
def test_an_act_sent_twice_is_done_once(shop, name):
    act, facts = teachers_acts(shop)[name]
    id = uuid4()
    first = act(shop.by(shop.teacher), id, **facts)
    entries = chain.head()
    assert act(shop.by(shop.teacher), id, **facts) == first
    assert chain.head() == entries
    assert verify_record() == ()


def test_a_device_is_opened_and_closed_by_whoever_stands_at_it(shop):
    by = shop.by(shop.teacher)
    device, token = open_device(
        by, uuid4(), name="Phone 3", section=shop.section, until=TUESDAY + timedelta(hours=1)
    )
    assert device_for(token, TUESDAY) == device
    close_device(shop.by(shop.isla), uuid4(), device=device)
    assert device_for(token, TUESDAY) is None
    with pytest.raises(BenchError, match="close before it opens"):
        open_device(by, uuid4(), name="Phone 3", section=shop.section, until=TUESDAY)


def test_an_opened_device_whose_answer_was_lost_gets_a_new_token(shop):
    id, by = uuid4(), shop.by(shop.teacher)
    facts = {"name": "Phone 3", "section": shop.section, "until": TUESDAY + timedelta(hours=1)}
    first, lost = open_device(by, id, **facts)
    second, token = open_device(by, id, **facts)
    assert (second, device_for(token, TUESDAY)) == (first, first)
    assert device_for(lost, TUESDAY) is None


def test_a_learner_sets_only_their_own_pin(shop):
    set_pin(shop.by(shop.isla), uuid4(), person=shop.isla, pin="6203")
    assert check_pin(shop.isla, "6203", None, TUESDAY).is_ok
    with pytest.raises(NotAllowed):
        set_pin(shop.by(shop.isla), uuid4(), person=shop.teacher, pin="6203")


def test_the_last_permit_given_counts_and_all_stay(shop):
    by, levels = shop.by(shop.teacher), []
    for minute, level in enumerate(("beside", "allowed", "none", "beside")):
        with clock.at(TUESDAY + timedelta(minutes=minute)):
            give_permit(by, uuid4(), person=shop.isla, kind="lift", level=level)
            levels.append(permits.level(shop.isla.pk, "lift"))
    assert levels == ["beside", "allowed", "none", "beside"]
    assert Permit.objects.filter(person=shop.isla).count() == 4


def test_a_permit_is_signed_by_the_teachers_pin(shop):
    by = shop.by(shop.teacher)
    facts = {"person": shop.isla, "kind": "lift", "level": "allowed"}
    with pytest.raises(BenchError, match="not the PIN"):
        give_permit(by, uuid4(), pin="0001", **facts)
    give_permit(by, uuid4(), pin=PINS["R. Aldane"], **facts)
    assert permits.level(shop.isla.pk, "lift") == "allowed"


def test_a_membership_has_its_days(shop):
    by = shop.by(shop.teacher)
    other = add_section(by, uuid4(), name="Section 1")
    move_to_section(by, uuid4(), person=shop.isla, section=other, start=date(2026, 12, 1))
    assert shop.isla in people_of(shop.section.pk, date(2026, 11, 30))
    assert shop.isla in people_of(other.pk, date(2026, 12, 1))
    assert Membership.objects.filter(person=shop.isla).count() == 2


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
    with pytest.raises(BenchError, match="lacks the owner's name, the owner's phone number and"):
        intake.open_job(
            by, uuid4(), intake=intake.Intake(vehicle="Meals van"), complaint="noise", job=half
        )
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
    by, item = shop.by(shop.teacher), LibraryItem.objects.get()
    job = intake.open_job(
        by, uuid4(), intake=intake.Intake(vehicle="Six", kind="training"), complaint=""
    )
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
    item = put_in_library(by, uuid4(), kind="procedure", text=text, name="pump.toml")
    job = intake.open_job(
        by, uuid4(), intake=intake.Intake(vehicle="Six", kind="training"), complaint=""
    )
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


def test_a_step_that_asks_for_a_permit_needs_it_from_each_learner(shop):
    by = shop.by(shop.teacher)
    text = PROCEDURE.replace("minutes = 20", 'minutes = 20\npermits = ["lift"]')
    item = put_in_library(by, uuid4(), kind="procedure", text=text, name="pump.toml")
    job = intake.open_job(
        by, uuid4(), intake=intake.Intake(vehicle="Six", kind="training"), complaint=""
    )
    steps = choose_procedure(by, uuid4(), job=job, item=item)
    with pytest.raises(NotAllowed, match="A permit is missing: Lift"):
        assign_crew(by, uuid4(), job=job, people=[shop.isla], step=steps[0])
    give_permit(by, uuid4(), person=shop.isla, kind="lift", level="beside")
    crew = assign_crew(by, uuid4(), job=job, people=[shop.isla], step=steps[0])
    assert [one.person for one in crew] == [shop.isla]


def test_a_crew_that_changed_may_no_longer_enter(shop):
    assign_crew(shop.by(shop.teacher), uuid4(), job=shop.job, people=[shop.tam])
    with pytest.raises(NotAllowed, match="not in the crew"):
        add_note(shop.by(shop.isla), uuid4(), job=shop.job, words="still here")
    add_note(shop.by(shop.tam), uuid4(), job=shop.job, words="mine now")


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
    plans.publish_plan(by, uuid4(), plan=plan)
    assert plans.published_plan() == plan


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


def test_a_pin_is_nowhere_in_the_log(shop):
    from witnessmark.log.models import Aside

    everything = " ".join(Entry.objects.values_list("values", flat=True))
    everything += " ".join(text or "" for text in Aside.objects.values_list("text", flat=True))
    assert PINS["Isla"] not in everything.replace("-", "").split()
    assert f'"{PINS["Isla"]}"' not in everything
    assert shop.isla.pin not in everything
    assert shop.teacher.password not in everything
    assert PASSWORD not in everything


def test_what_is_too_long_for_its_column_is_refused_in_words(shop, started):
    from witnessmark.record.acts.ledger import take_off

    with pytest.raises(BenchError, match="121 signs long"):
        take_off(
            shop.by(shop.isla), uuid4(), step=started, what="x" * 121, quantity="1", place="Bag 1"
        )
