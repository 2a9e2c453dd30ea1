"""Acts on people: who may, what happens twice, permits and devices, erasing."""

from datetime import date, timedelta
from uuid import uuid4

import pytest

from tests.record.conftest import (
    PASSWORD,
    PINS,
    PROCEDURE,
    TUESDAY,
    training_six,
    with_a_permit,
)
from witnessmark.errors import BenchError
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
)
from witnessmark.record.acts.sheets import choose_procedure, start_work
from witnessmark.record.acts.steps import assign_crew
from witnessmark.record.models import Plan
from witnessmark.record.verify import verify_record
from witnessmark.shop import clock
from witnessmark.shop.models import LibraryItem


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
        "erase_owner": (
            erasing.erase_owner,
            {"owner": job.vehicle.owner, "pin": PINS["R. Aldane"]},
        ),
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


def test_a_step_that_asks_for_a_permit_needs_it_from_each_learner(shop):
    by = shop.by(shop.teacher)
    job, item = training_six(shop, with_a_permit(PROCEDURE))
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


def test_a_pin_is_nowhere_in_the_log(shop):
    from witnessmark.log.models import Aside

    everything = " ".join(Entry.objects.values_list("values", flat=True))
    everything += " ".join(text or "" for text in Aside.objects.values_list("text", flat=True))
    assert PINS["Isla"] not in everything.replace("-", "").split()
    assert f'"{PINS["Isla"]}"' not in everything
    assert shop.isla.pin not in everything
    assert shop.teacher.password not in everything
    assert PASSWORD not in everything
