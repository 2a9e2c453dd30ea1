"""A shop in which every kind of row stands, each made by the acts themselves."""

from datetime import time, timedelta
from importlib import resources
from uuid import uuid4

from tests.record.conftest import PINS, Shop, open_shop, picture, start_the_hold
from tests.record.test_record_release import release, work_through
from witnessmark.people.sign_in import check_pin
from witnessmark.record.acts import practice
from witnessmark.record.acts.by import NotAllowed
from witnessmark.record.acts.drafts import end_draft, keep_draft
from witnessmark.record.acts.evidence import add_note, correct_reading, keep_reading
from witnessmark.record.acts.finding import set_find_rules, set_rates
from witnessmark.record.acts.handover import take_over
from witnessmark.record.acts.intake import Intake, add_complaint, give_job_bay, save_intake
from witnessmark.record.acts.marks import mark_step
from witnessmark.record.acts.parts import order_part
from witnessmark.record.acts.people import give_permit
from witnessmark.record.acts.photos import keep_photo
from witnessmark.record.acts.plans import Sitting, publish_plan, queue_plan, store_plan
from witnessmark.record.acts.repairs import set_repair_rules
from witnessmark.record.acts.school import add_bay, add_periods, put_in_library
from witnessmark.record.acts.sheets import pin_sheet
from witnessmark.record.acts.steps import assign_crew, call_teacher
from witnessmark.record.core import load
from witnessmark.record.handover import handover_of
from witnessmark.shop import clock
from witnessmark.shop.models import LibraryItem
from witnessmark.shop.periods import WeeklyPeriod

LAMP_SHEET = """
[circuit]
name = "Work lamp"
source = "made for a test"

[[parts]]
name = "BAT"
kind = "battery"
plus = "battery +"
minus = "battery −"
emf = "12.6 V"
inside = "0.02 ohm"

[[parts]]
name = "L1"
kind = "lamp"
from = "battery +"
to = "battery −"
power = "21 W"
volts = "12 V"

[[states]]
name = "on"
"""
FAN = resources.files("witnessmark.examples").joinpath("circuits/fan.toml").read_text("utf-8")


def everything() -> Shop:
    """Open a shop and let everything happen in it that leaves a row, up to a road test."""
    shop = open_shop()
    started = start_the_hold(shop)
    teacher, isla = shop.by(shop.teacher), shop.by(shop.isla)
    bay = add_bay(teacher, uuid4(), name="North bay")
    give_job_bay(teacher, uuid4(), job=shop.job, bay=bay)
    set_repair_rules(teacher, uuid4(), joint_rule="crimp", own_drop="0.3 V")
    give_permit(teacher, uuid4(), person=shop.isla, kind="lift", level="beside")
    look = keep_reading(
        isla, uuid4(), step=started, key="Seal lip, front", outcome="torn at the top"
    )
    correct_reading(isla, uuid4(), reading=look, outcome="torn all round", reason="seen in light")
    keep_photo(isla, uuid4(), step=started, content=picture(), caption="the torn lip")
    add_note(isla, uuid4(), job=shop.job, step=started, words="flange was dry")
    order_part(teacher, uuid4(), job=shop.job, what="front seal", step=started)
    _try_to_mark(shop)
    work_through(shop, started)
    call_teacher(isla, uuid4(), job=shop.job, what="help")
    _hand_over(shop)
    release(shop, "road test")
    _plan(shop, started, bay)
    _kept_half_done(shop)
    _circuit_half_done(shop)
    set_find_rules(teacher, uuid4(), tools=["meter", "LED tester"], qualified="Q. Holm")
    set_rates(teacher, uuid4(), rates={"connector/high": "2,5", "ground/open": ""})
    _practise(shop)
    for _ in range(5):
        check_pin(shop.mika, "9999", shop.tablet, clock.now())
    _tie(shop)
    return shop


def _tie(shop: Shop) -> None:
    teacher = shop.by(shop.teacher)
    fan = LibraryItem.objects.get(kind="circuit", title__contains="fan")
    sheet = pin_sheet(teacher, uuid4(), job=shop.job, item=fan)
    add_complaint(teacher, uuid4(), job=shop.job, words="blows weakly", key="slow", sheet=sheet)


def _hand_over(shop: Shop) -> None:
    card = handover_of(load(shop.job))
    looked_at = [check.key for check in card.card.checks]
    take_over(
        shop.by(shop.isla),
        uuid4(),
        job=shop.job,
        shown_digest=card.digest,
        looked_at=looked_at,
        pin=PINS["Isla"],
    )


def _try_to_mark(shop: Shop) -> None:
    step = shop.step("drain")
    try:
        mark_step(
            shop.by(shop.isla),
            uuid4(),
            step=step,
            shown_digest=shop.shown(step),
            teacher=shop.isla,
            pin=PINS["Isla"],
        )
    except NotAllowed:
        return
    raise AssertionError("a learner has marked a step")


def _plan(shop: Shop, step, bay) -> None:
    by, day = shop.by(shop.teacher), clock.now().date()
    weekly = WeeklyPeriod(
        weekday=day.weekday(),
        number=3,
        start=time(10, 40),
        end=time(12, 0),
        section_id=shop.section.pk,
    )
    (period,) = add_periods(by, uuid4(), pattern=[weekly], first=day, days=1)
    plan = queue_plan(by, uuid4(), problem="{}")
    sitting = Sitting(
        job=shop.job,
        step=step,
        period=period,
        start=clock.now(),
        end=clock.now() + timedelta(minutes=30),
        crew=(shop.isla, shop.tam),
        bay=bay,
        hold_start=clock.now(),
        hold_end=clock.now() + timedelta(minutes=5),
    )
    store_plan(
        by, uuid4(), plan=plan, status="found", bound="0", gap="0", result="{}", sittings=[sitting]
    )
    publish_plan(by, uuid4(), plan=plan)
    assign_crew(by, uuid4(), job=shop.job, step=step, people=[shop.isla])
    assign_crew(by, uuid4(), job=shop.job, step=step, people=[shop.tam])


def _practise(shop: Shop) -> None:
    teacher, isla = shop.by(shop.teacher), shop.by(shop.isla)
    fan = put_in_library(teacher, uuid4(), kind="circuit", text=FAN, name="fan.toml")
    case = practice.set_case(
        teacher,
        uuid4(),
        item=fan,
        section=shop.section,
        title="Before the holidays",
        chosen="G7:high",
        comes_and_goes=True,
        seed=4,
    )
    attempt = practice.begin(isla, uuid4(), case=case)
    tests = {
        "volts D state=run": "about 0.3",
        "look G7": "sound to the eye",
        "volts E state=run": "about 0.3",
    }
    for key, expected in tests.items():
        practice.do_test(isla, uuid4(), attempt=attempt, key=key, expected=expected, watched=True)
    practice.rank(isla, uuid4(), attempt=attempt, parts=["G7", "S9"])
    practice.end(
        isla,
        uuid4(),
        attempt=attempt,
        suspect="G7:high",
        repair="clean ground joint G7",
        reasons="the ground side drops volts",
    )
    practice.set_case(isla, uuid4(), item=fan, seed=6)


def _kept_half_done(shop: Shop) -> None:
    save_intake(
        shop.by(shop.teacher),
        uuid4(),
        intake=Intake(
            vehicle="Meals van",
            make="Brae",
            model="twelve",
            serial="BRA-0117",
            plate="SP 117",
            year=2012,
            odometer="about 96 000",
            owner_name="Skerry kitchen",
            owner_phone="555 0117",
            owner_address="Church Lane 9",
            lamps="charge lamp",
            condition="crack in the right mirror",
            keys="2 sets, hook 3",
            says="The fan hardly blows.",
            happens="when it rains",
            old_parts_wanted=True,
            not_before=clock.now() + timedelta(days=1),
            promised=clock.now() + timedelta(days=3),
        ),
    )


def _circuit_half_done(shop: Shop) -> None:
    """One half-done sheet kept twice and put in, another begun from it and taken off the shelf."""
    by, first, second = shop.by(shop.teacher), uuid4(), uuid4()
    draft = keep_draft(by, uuid4(), draft_id=first, title="Lamp", text='[circuit]\nname = "Lamp"\n')
    draft = keep_draft(
        by, uuid4(), draft_id=first, title="Work lamp", text=LAMP_SHEET, base=draft.digest
    )
    item = put_in_library(
        by, uuid4(), kind="circuit", text=LAMP_SHEET, name="the text", draft=draft
    )
    again = keep_draft(by, uuid4(), draft_id=second, title="Horn", text=LAMP_SHEET, begun_from=item)
    end_draft(by, uuid4(), draft=again)
