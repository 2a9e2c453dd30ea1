"""Practice in the record: who may set, begin and see; what the log says; what stays hidden."""

import json
from uuid import uuid4

import pytest

from tests.record.conftest import open_shop
from tests.record.whole_shop import FAN
from witnessmark.errors import BenchError
from witnessmark.log.models import Aside, Entry
from witnessmark.log.sentences import sentence
from witnessmark.networks.fault_rates import usual_rates
from witnessmark.record.acts import practice
from witnessmark.record.acts.by import NotAllowed
from witnessmark.record.acts.erasing import erase_person
from witnessmark.record.acts.finding import set_rates
from witnessmark.record.acts.people import add_learner, add_section
from witnessmark.record.acts.school import put_in_library
from witnessmark.record.models import PracticeTest
from witnessmark.record.names import names_for
from witnessmark.record.practice import attempts_for, cases_for, hidden_in
from witnessmark.record.verify import verify_record
from witnessmark.work.digest import text_digest

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("given_time")]
KEY = "volts E state=run"


@pytest.fixture
def shop():
    made = open_shop()
    made.fan = put_in_library(
        made.by(made.teacher), uuid4(), kind="circuit", text=FAN, name="fan.toml"
    )
    return made


def set_for(shop, section=None, **more):
    return practice.set_case(
        shop.by(shop.teacher), uuid4(), item=shop.fan, section=section or shop.section, **more
    )


def without_own_rates(shop):
    """Take the sheet without rates of its parts, so that the shop's are taken."""
    bare = "\n".join(line for line in FAN.splitlines() if not line.startswith("rate"))
    shop.fan = put_in_library(
        shop.by(shop.teacher), uuid4(), kind="circuit", text=bare, name="bare.toml"
    )


def try_out(shop, attempt, person, key=KEY, **more):
    given = {"expected": "about 0.2 V", "watched": True} | more
    return practice.do_test(shop.by(person), uuid4(), attempt=attempt, key=key, **given)


def test_a_whole_attempt_is_kept_and_verifies(shop):
    case = set_for(shop, chosen="G7:high", seed=3)
    attempt = practice.begin(shop.by(shop.isla), uuid4(), case=case)
    rows = [try_out(shop, attempt, shop.isla, key) for key in ("volts D state=run", KEY,
                                                             "volts F state=run")]  # fmt: skip
    end = practice.end(
        shop.by(shop.isla), uuid4(), attempt=attempt, suspect="G7:high",
        repair="clean ground joint G7",
    )  # fmt: skip

    assert [row.number for row in rows] == [1, 2, 3]
    assert (end.verdict, end.repair_right) == ("right", True)
    assert end.minutes == sum(row.minutes for row in rows)
    assert verify_record() == ()


def test_the_seal_is_the_digest_of_what_was_hidden_and_salted(shop):
    first, second = (set_for(shop, chosen="F12:blown", seed=3) for _ in range(2))

    assert first.seal == text_digest(first.secret)
    assert json.loads(first.secret)["fault"] == "F12:blown"
    assert first.seal != second.seal  # the salt: nobody can try out every fault
    assert hidden_in(first).suspect == "F12:blown"


def test_the_log_never_says_what_is_hidden_before_it_is_named(shop):
    """Neither the entries, nor the texts beside them, nor their sentences."""
    case = set_for(shop, chosen="S9:open", comes_and_goes=True, seed=3)
    attempt = practice.begin(shop.by(shop.isla), uuid4(), case=case)
    try_out(shop, attempt, shop.isla)
    entries = list(Entry.objects.filter(verb__startswith="practice"))
    names = names_for(entries)
    beside = [aside.text or "" for aside in Aside.objects.all()]
    said = [entry.values for entry in entries] + [sentence(one, names) for one in entries]

    assert len(entries) == 3
    for text in [*said, *beside]:
        assert "S9" not in text
        assert "open" not in text or "practice" not in text
    assert said[-3:] == [
        "R. Aldane set Practice 1.",
        "Isla began Practice 1.",
        "Isla did test 1 of Practice 1.",
    ]


def test_what_was_named_stays_out_of_the_log_for_those_who_still_try(shop):
    attempt = practice.begin(shop.by(shop.isla), uuid4(), case=set_for(shop, chosen="G7:high"))
    practice.end(
        shop.by(shop.isla), uuid4(), attempt=attempt, suspect="G7:high",
        repair="clean ground joint G7",
    )  # fmt: skip
    entry = Entry.objects.get(verb="practice ended")

    assert "G7" not in entry.values
    assert sentence(entry, names_for([entry])) == "Isla ended Practice 1."


def test_only_a_teacher_sets_one_for_others_or_chooses_the_fault(shop):
    for more in ({"section": shop.section}, {"chosen": "G7:high"}, {"title": "Ours"}):
        with pytest.raises(NotAllowed, match="Only a teacher may"):
            practice.set_case(shop.by(shop.isla), uuid4(), item=shop.fan, **more)
    assert practice.set_case(shop.by(shop.isla), uuid4(), item=shop.fan).section is None


def test_the_fault_is_drawn_by_the_shops_own_rates(shop):
    """With every other rate at 0, a sheet without rates of its own leaves one fault to hide."""
    without_own_rates(shop)
    rates = {rate.key: "0" for rate in usual_rates()} | {"ground/high": "1"}
    set_rates(shop.by(shop.teacher), uuid4(), rates=rates)
    drawn = [hidden_in(set_for(shop, seed=seed)) for seed in range(6)]
    assert {str(one.fault).partition("=")[0] for one in drawn} == {"G7:high"}
    chosen = set_for(shop, chosen="F12:blown")
    assert str(hidden_in(chosen).fault) == "F12:blown"


def test_a_case_is_reviewed_by_the_rates_by_which_it_was_drawn_whatever_they_are_later(shop):
    """They are sealed with the fault; one that never happens here is believed in all the same."""
    without_own_rates(shop)
    set_rates(shop.by(shop.teacher), uuid4(), rates={"fuse/blown": "0", "splice/high": "7.5"})
    own, never = set_for(shop, chosen="S9:high", seed=3), set_for(shop, chosen="F12:blown", seed=3)
    set_rates(shop.by(shop.teacher), uuid4(), rates={"splice/high": "0"})

    assert dict(hidden_in(own).rates) == {"fuse/blown": 0.0, "splice/high": 7.5}
    assert own.seal == text_digest(own.secret)
    assert hidden_in(never).rates == ()
    for case, suspect, repair in ((own, "S9:high", "mend splice S9"),
                                  (never, "F12:blown", "replace F12")):  # fmt: skip
        attempt = practice.begin(shop.by(shop.isla), uuid4(), case=case)
        end = practice.end(
            shop.by(shop.isla), uuid4(), attempt=attempt, suspect=suspect, repair=repair
        )
        assert end.verdict == "not proved"
    assert verify_record() == ()


def test_a_case_is_seen_by_its_section_and_an_own_one_by_nobody_else(shop):
    teacher = shop.by(shop.teacher)
    other = add_section(teacher, uuid4(), name="Section 9")
    stranger = add_learner(teacher, uuid4(), name="Orla", section=other, pin="4826")
    for_all = set_for(shop)
    own = practice.set_case(shop.by(shop.isla), uuid4(), item=shop.fan)

    assert set(cases_for(shop.isla)) == {for_all, own}
    assert set(cases_for(shop.tam)) == {for_all}
    assert set(cases_for(stranger)) == set()
    with pytest.raises(NotAllowed, match="another section"):
        practice.begin(shop.by(stranger), uuid4(), case=for_all)


def test_an_attempt_is_seen_by_its_learner_and_the_teacher(shop):
    attempt = practice.begin(shop.by(shop.isla), uuid4(), case=set_for(shop))

    assert list(attempts_for(shop.isla)) == list(attempts_for(shop.teacher)) == [attempt]
    for person in (shop.tam, shop.mika, shop.aide):
        assert list(attempts_for(person)) == []
    with pytest.raises(NotAllowed, match="someone else"):
        try_out(shop, attempt, shop.tam)


def test_what_is_expected_is_said_first(shop):
    attempt = practice.begin(shop.by(shop.isla), uuid4(), case=set_for(shop))
    with pytest.raises(BenchError, match="does not say what you expect"):
        try_out(shop, attempt, shop.isla, expected=" ")
    assert PracticeTest.objects.count() == 0


def test_a_test_sent_twice_is_done_once(shop):
    attempt = practice.begin(shop.by(shop.isla), uuid4(), case=set_for(shop))
    id = uuid4()
    given = {"attempt": attempt, "key": KEY, "expected": "0.2 V", "watched": False}
    first, again = (practice.do_test(shop.by(shop.isla), id, **given) for _ in range(2))

    assert first == again
    assert attempt.tests.count() == 1


def test_a_case_is_tried_once_and_stays_ended(shop):
    case, isla = set_for(shop), shop.by(shop.isla)
    attempt = practice.begin(isla, uuid4(), case=case)
    with pytest.raises(BenchError, match="begun Practice 1 already"):
        practice.begin(isla, uuid4(), case=case)
    practice.end(isla, uuid4(), attempt=attempt, suspect="", repair="")
    with pytest.raises(BenchError, match="has ended"):
        try_out(shop, attempt, shop.isla)
    with pytest.raises(BenchError, match="has ended"):
        practice.end(isla, uuid4(), attempt=attempt, suspect="", repair="")


@pytest.mark.parametrize(
    ("suspect", "repair"), [("Q1:open", "replace Q1"), ("G7:high", ""), ("G7:high", "paint it")]
)
def test_a_cause_is_named_with_a_repair_of_this_circuit(shop, suspect, repair):
    attempt = practice.begin(shop.by(shop.isla), uuid4(), case=set_for(shop))
    with pytest.raises(BenchError, match="not both chosen"):
        practice.end(shop.by(shop.isla), uuid4(), attempt=attempt, suspect=suspect, repair=repair)


def test_a_sheet_without_a_complaint_hides_nothing(shop):
    bare = FAN.partition("[[complaints]]")[0].replace("Brae 12, fan", "Bare fan")
    item = put_in_library(
        shop.by(shop.teacher), uuid4(), kind="circuit", text=bare, name="bare.toml"
    )
    with pytest.raises(BenchError, match="Write complaints into the circuit sheet"):
        practice.set_case(shop.by(shop.isla), uuid4(), item=item)


def test_erasing_a_person_erases_what_they_expected_and_their_reasons(shop):
    attempt = practice.begin(shop.by(shop.isla), uuid4(), case=set_for(shop))
    try_out(shop, attempt, shop.isla, expected="around 0.123")
    practice.end(
        shop.by(shop.isla), uuid4(), attempt=attempt, suspect="", repair="", reasons="mine alone"
    )
    erase_person(shop.by(shop.teacher), uuid4(), person=shop.isla)

    for words in ("around 0.123 V", "mine alone"):
        assert not Aside.objects.filter(text__contains=words).exists()
    assert attempt.tests.get().expected == "(erased)"
    assert verify_record() == ()
