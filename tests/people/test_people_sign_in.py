"""PINs and passwords: hashed, slow to guess, refused when anybody would guess them first."""

import hashlib
from datetime import date, timedelta
from uuid import uuid4

import pytest

from tests.people.conftest import NOW, PASSWORD
from witnessmark.errors import BenchError
from witnessmark.log.act import act
from witnessmark.log.models import Entry
from witnessmark.people.devices import device_for, people_of
from witnessmark.people.models import Guess, Membership, Person
from witnessmark.people.sign_in import (
    Result,
    check_password,
    check_pin,
    forget_guesses,
    hashed_password,
    hashed_pin,
    require_pin,
)


def guess(person, device, times, now=NOW, pin="9999"):
    return [check_pin(person, pin, device, now) for _ in range(times)]


def forget(person):
    with act("PIN set", uuid4(), now=lambda: NOW, actor=None, asked={}) as doing:
        forget_guesses(doing, person)


def test_the_right_pin_opens(learner, tablet):
    assert check_pin(learner, "2846", tablet, NOW).is_ok


def test_a_pin_is_kept_hashed(learner):
    assert "2846" not in learner.pin


@pytest.mark.parametrize("pin", ["", "123", "123456789", "28 46", "28a6", "²846", "٢٨٤٦"])
def test_a_pin_has_four_to_eight_digits(pin):
    with pytest.raises(BenchError, match="4 to 8 digits"):
        hashed_pin(pin)


@pytest.mark.parametrize(
    ("pin", "why"), [("0000", "same"), ("77777", "same"), ("1234", "run"), ("87654", "run")]
)
def test_a_pin_that_anybody_would_try_first_is_refused(pin, why):
    with pytest.raises(BenchError, match=why):
        hashed_pin(pin)


def test_from_the_fifth_wrong_pin_on_the_wait_doubles_from_30_seconds(learner, tablet):
    answers = guess(learner, tablet, 5)
    assert [answer.result for answer in answers] == [Result.WRONG] * 5
    assert [answer.seconds for answer in answers] == [0, 0, 0, 0, 30]
    waits, now = [], NOW
    for _ in range(4):
        waits.append(check_pin(learner, "2846", tablet, now).seconds)
        now += timedelta(seconds=waits[-1])
        guess(learner, tablet, 1, now)
    assert waits == [30, 60, 120, 240]


def test_the_right_pin_waits_too(learner, tablet):
    guess(learner, tablet, 5)
    answer = check_pin(learner, "2846", tablet, NOW + timedelta(seconds=29))
    assert (answer.result, answer.seconds) == (Result.WAIT, 1)
    assert check_pin(learner, "2846", tablet, NOW + timedelta(seconds=31)).is_ok


def test_the_right_pin_ends_the_count_of_the_person(learner, tablet):
    guess(learner, tablet, 4)
    assert check_pin(learner, "2846", tablet, NOW).is_ok
    assert guess(learner, tablet, 4)[-1].seconds == 0


def test_one_who_guesses_through_the_class_is_slowed_on_the_device(learner, tablet, db):
    others = [
        Person.objects.create(name=f"Learner {n}", role="learner", pin=hashed_pin("4829"))
        for n in range(5)
    ]
    answers = [answer for other in others for answer in guess(other, tablet, 3)]
    assert [answer.seconds for answer in answers] == [0] * 14 + [30]
    assert check_pin(learner, "2846", tablet, NOW).result is Result.WAIT
    assert check_pin(learner, "2846", None, NOW).is_ok


def test_ones_own_pin_does_not_wipe_out_the_guesses_on_a_device(learner, teacher, tablet):
    for _ in range(7):
        guess(teacher, None, 0)
        guess(learner, tablet, 1)
        check_pin(teacher, "7391", tablet, NOW)
        forget(learner)
    assert Guess.objects.get(subject=f"device:{tablet.pk}").wrong == 7


def test_a_new_pin_ends_the_wait(learner, tablet):
    guess(learner, tablet, 6)
    forget(learner)
    assert check_pin(learner, "2846", tablet, NOW).is_ok


def test_a_wait_is_in_the_log_from_its_beginning_to_its_end_and_single_slips_are_not(
    learner, tablet
):
    guess(learner, tablet, 3)
    assert check_pin(learner, "2846", tablet, NOW).is_ok
    assert not Entry.objects.exists()
    guess(learner, tablet, 5)
    assert check_pin(learner, "2846", tablet, NOW + timedelta(seconds=31)).is_ok
    said = [(entry.verb, entry.facts()["tries"]) for entry in Entry.objects.all()]
    # a try counts before it is looked at, the right one too
    assert said == [("tries counted", 5), ("tries counted", 6), ("wait ended", 0)]


def test_a_typed_name_is_not_kept_with_its_wrong_tries(teacher):
    for _ in range(6):
        check_password("aldane", "wrong", None, NOW)
    [row] = Guess.objects.all()
    assert "aldane" not in row.subject
    assert hashlib.sha256(b"aldane").hexdigest()[:40] not in row.subject


def test_who_left_the_shop_cannot_sign_in(learner, tablet):
    learner.is_active = False
    learner.save(update_fields=["is_active"])
    assert check_pin(learner, "2846", tablet, NOW).result is Result.WRONG


def test_the_password_opens_whatever_the_case_of_the_name(teacher):
    person, answer = check_password(" Aldane ", PASSWORD, None, NOW)
    assert (person, answer.is_ok) == (teacher, True)


def test_an_unknown_name_is_slowed_like_a_known_one(teacher):
    for handle in ("aldane", "nobody"):
        answers = [check_password(handle, "wrong", None, NOW)[1] for _ in range(6)]
        assert [answer.result for answer in answers] == [Result.WRONG] * 5 + [Result.WAIT]
        assert answers[4].sentence.startswith("Too many wrong tries. Wait 30 seconds")


def test_an_empty_password_opens_nothing(learner):
    person, answer = check_password("", "", None, NOW)
    assert (person, answer.is_ok) == (None, False)


def test_a_short_password_is_refused():
    with pytest.raises(BenchError, match="has 5 signs"):
        hashed_password("short")


def test_require_pin_says_how_long_to_wait(learner, tablet):
    guess(learner, tablet, 4)
    with pytest.raises(BenchError, match="30 seconds"):
        require_pin(learner, "9999", tablet, NOW)


def test_a_device_is_found_by_its_token_until_it_closes(tablet, token):
    assert device_for(token, NOW) == tablet
    assert device_for("another", NOW) is None
    assert device_for(token, tablet.until) is None
    tablet.closed_at = NOW
    tablet.save(update_fields=["closed_at"])
    assert device_for(token, NOW) is None


def test_people_of_a_section_are_those_of_the_day(section, learner):
    other = Person.objects.create(name="Isla", role="learner")
    Membership.objects.create(
        person=learner, section=section, start=date(2026, 9, 1), end=date(2026, 11, 23)
    )
    Membership.objects.create(person=other, section=section, start=date(2026, 11, 24))
    assert people_of(section.pk, date(2026, 11, 23)) == [learner]
    assert people_of(section.pk, date(2026, 11, 24)) == [other]


def test_guesses_at_one_tablet_do_not_keep_a_teacher_from_another_place(teacher, tablet):
    for _ in range(7):
        check_pin(teacher, "9999", tablet, NOW)

    assert not check_pin(teacher, "7391", tablet, NOW).is_ok
    assert check_pin(teacher, "7391", None, NOW).is_ok
