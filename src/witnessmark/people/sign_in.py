"""PINs and passwords: hashed, and slow to guess."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from itertools import pairwise
from typing import Any
from uuid import uuid4

from django.contrib.auth import SESSION_KEY
from django.contrib.auth.hashers import check_password as matches
from django.contrib.auth.hashers import make_password
from django.contrib.sessions.models import Session
from django.db import transaction
from django.db.models import Q
from django.utils.crypto import salted_hmac

from witnessmark.errors import BenchError
from witnessmark.log import chain
from witnessmark.log.act import Act, act
from witnessmark.people.models import Device, Guess, Person

FREE_TRIES = 5  # wrong PINs of one person at one place before a wait; from then on it doubles
FREE_TRIES_EVERYWHERE = 20  # of one person, so that one tablet cannot keep them from all others
FREE_TRIES_DEVICE = 15  # a whole class shares a tablet
FIRST_WAIT = timedelta(seconds=30)
LONGEST_WAIT = timedelta(hours=1)
DEVICE_FORGETS_AFTER = timedelta(minutes=15)
DIGITS = range(4, 9)
SHORTEST_PASSWORD = 10


class Result(StrEnum):
    """How a try to sign in ended."""

    OK = "ok"
    WRONG = "wrong"
    WAIT = "wait"


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """The answer to one try."""

    result: Result
    seconds: int = 0  # to wait before the next try

    @property
    def is_ok(self) -> bool:
        return self.result is Result.OK

    @property
    def sentence(self) -> str:
        """Return what the page says.

        >>> Answer(result=Result.WAIT, seconds=30).sentence
        'Too many wrong tries. Wait 30 seconds, or ask the teacher for a new PIN.'
        """
        match self.result:
            case Result.OK:
                return ""
            case Result.WRONG if not self.seconds:
                return "That is not right. Try again."
            case _:
                minutes, seconds = divmod(self.seconds, 60)
                wait = f"{minutes} min {seconds} s" if minutes else f"{seconds} seconds"
                return f"Too many wrong tries. Wait {wait}, or ask the teacher for a new PIN."


def hashed_pin(pin: str) -> str:
    """Return the PIN hashed, after refusing one that anybody would guess first."""
    if not (pin.isascii() and pin.isdigit() and len(pin) in DIGITS):
        raise BenchError(
            "This PIN cannot be used.",
            "A PIN has 4 to 8 digits and nothing else.",
            "Choose another one.",
        )
    steps = {int(b) - int(a) for a, b in pairwise(pin)}
    if steps == {0}:
        raise BenchError(
            "All digits of this PIN are the same.",
            "Anybody would try that first.",
            "Choose another one.",
        )
    if steps in ({1}, {-1}):
        raise BenchError(
            "The digits of this PIN run straight up or down.",
            "Anybody would try that first.",
            "Choose another one.",
        )
    return make_password(pin)


def hashed_password(password: str) -> str:
    """Return the password hashed, after refusing a short one."""
    if len(password) < SHORTEST_PASSWORD:
        raise BenchError(
            f"This password has {len(password)} signs.",
            f"A teacher's password has at least {SHORTEST_PASSWORD}.",
            "Use three or four words that do not belong together.",
        )
    return make_password(password)


def check_pin(person: Person, pin: str, device: Device | None, now: datetime) -> Answer:
    """Return whether this is the person's PIN.

    A wrong one is counted for the person at this place, the person everywhere, and the device.
    """
    place = device.pk if device is not None else "no device"
    subjects = {
        f"person:{person.pk}:{place}": FREE_TRIES,
        f"person:{person.pk}": FREE_TRIES_EVERYWHERE,
    }
    if device is not None:
        subjects[f"device:{device.pk}"] = FREE_TRIES_DEVICE
    fresh = Person.objects.get(pk=person.pk)
    may = bool(fresh.is_active and fresh.pin)
    return _answer(subjects, lambda: may and bool(matches(pin, fresh.pin)), now)


def check_password(
    handle: str, password: str, device: Device | None, now: datetime
) -> tuple[Person | None, Answer]:
    """Return who signs in by password; an unknown name is slowed down like a known one."""
    handle = handle.strip().casefold()
    subjects = {_handle_subject(handle): FREE_TRIES}
    if device is not None:
        subjects[f"device:{device.pk}"] = FREE_TRIES_DEVICE
    person = Person.objects.filter(handle=handle, is_active=True).first() if handle else None

    def is_right() -> bool:
        if person is None:
            make_password(password)  # an unknown name takes as long as a wrong password
            return False
        return bool(matches(password, person.password))

    answer = _answer(subjects, is_right, now)
    return (person if answer.is_ok else None), answer


def forget_guesses(doing: Act, person: Person, handle: str = "") -> None:
    """End a person's wait: a teacher gave them a new PIN, or they are erased."""
    theirs = Q(subject__startswith=f"person:{person.pk}")
    if handle:
        theirs |= Q(subject=_handle_subject(handle))
    rows = Guess.objects.filter(theirs)
    for row in rows.exclude(wait_until=None):
        doing.change(row, wrong=0, wait_until=None)
    rows.delete()


def require_pin(person: Person, pin: str, device: Device | None, now: datetime) -> None:
    """Refuse to go on unless this is the person's PIN."""
    answer = check_pin(person, pin, device, now)
    if answer.result is Result.OK:
        return
    if answer.seconds:
        raise BenchError(
            "Too many wrong PINs.",
            f"The next try is open in {answer.seconds} seconds.",
            "Wait, then type your own PIN.",
        )
    raise BenchError("That is not the PIN.", "Nothing was signed.", "Type your own PIN again.")


def _handle_subject(handle: str) -> str:
    """Return what stands for a typed name: only this shop's key makes it of the name."""
    return "handle:" + salted_hmac("witnessmark.sign_in", handle).hexdigest()


def _answer(subjects: dict[str, int], is_right: Callable[[], bool], now: datetime) -> Answer:
    """Count the try as wrong before looking, so that many tries at once gain nothing."""
    with transaction.atomic():
        rows = _locked(subjects)
        waits = [row.wait_until for row in rows if row.wait_until and row.wait_until > now]
        if waits:
            seconds = (max(waits) - now).total_seconds()
            return Answer(result=Result.WAIT, seconds=max(1, round(seconds)))
        counts = [_counted(row, subjects[row.subject], now) for row in rows]
        _keep(rows, counts, now)
    if not is_right():  # outside the transaction: hashing is slow on purpose
        longest = max((count["wait_until"] or now) - now for count in counts)
        return Answer(result=Result.WRONG, seconds=round(longest.total_seconds()))
    with transaction.atomic():
        rows = _locked(subjects)
        # A device keeps its other wrong tries, else one's own PIN would wipe them out.
        left = [max(row.wrong - 1, 0) if _is_of_device(row) else 0 for row in rows]
        _keep(rows, [{"wrong": wrong, "wait_until": None} for wrong in left], now)
    return Answer(result=Result.OK)


def _locked(subjects: Iterable[str]) -> list[Guess]:
    """Return the counts, locked after the head of the log, as every act locks it first."""
    chain.lock_head()
    rows = []
    for subject in sorted(subjects):  # one order: two tries cannot lock each other
        Guess.objects.get_or_create(subject=subject)
        rows.append(Guess.objects.select_for_update().get(subject=subject))
    return rows


def _is_of_device(row: Guess) -> bool:
    return row.subject.startswith("device:")


def _counted(row: Guess, free: int, now: datetime) -> dict[str, Any]:
    """Return the count after one more wrong try, and how long the next one has to wait."""
    forgets = _is_of_device(row) and row.last_at and now - row.last_at > DEVICE_FORGETS_AFTER
    wrong = 1 if forgets else row.wrong + 1
    over = wrong - free
    wait = timedelta(0) if over < 0 else min(FIRST_WAIT * 2 ** min(over, 20), LONGEST_WAIT)
    return {"wrong": wrong, "wait_until": now + wait if wait else None, "last_at": now}


def _keep(rows: list[Guess], counts: list[dict[str, Any]], now: datetime) -> None:
    """Keep the counts. The log says them from the first wait on until it is over."""
    said = []
    for row, count in zip(rows, counts, strict=True):
        if row.wait_until is None and count["wait_until"] is None:
            for column, value in count.items():
                setattr(row, column, value)
            row.save(update_fields=list(count))
        else:
            said.append((row, count))
    if not said:
        return
    begins = any(count["wait_until"] for _, count in said)
    verb = "tries counted" if begins else "wait ended"
    with act(verb, uuid4(), now=lambda: now, actor=None, asked={}) as doing:
        for row, count in said:
            doing.change(row, **count)
        doing.say(tries=max(count["wrong"] for _, count in said))


def end_sessions(person: Person) -> None:
    """Sign a person out everywhere; what waits in a session of theirs goes with it."""
    for session in Session.objects.all():
        if session.get_decoded().get(SESSION_KEY) == str(person.pk):
            session.delete()
