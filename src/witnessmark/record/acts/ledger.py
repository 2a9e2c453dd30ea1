"""Acts on the ledger: take off, move back, correct a line."""

from uuid import UUID

from witnessmark.errors import BenchError
from witnessmark.record.acts.by import By
from witnessmark.record.acts.intake import must_be_open
from witnessmark.record.acts.names import must_name
from witnessmark.record.acts.replacing import must_stand
from witnessmark.record.acts.steps import must_be_begun
from witnessmark.record.core import load
from witnessmark.record.models import LedgerLine, Movement, Step
from witnessmark.record.specs import spec_of
from witnessmark.record.values import movement_value
from witnessmark.work.amounts import amount
from witnessmark.work.ledger import check_movement
from witnessmark.work.steps import Closing, How, OldPart

LONGEST_WHAT, LONGEST_PLACE = 120, 60  # signs


def take_off(
    by: By,
    id: UUID,
    *,
    step: Step,
    what: str,
    quantity: str,
    place: str,
    how: str = "taken off",
    unit: str = "",
    key: str = "",
) -> LedgerLine:
    """Write down one thing that is off or undone: what, how many, where it is kept."""
    return _write_line(by, id, step, what, quantity, place, how, unit, key)


def correct_line(
    by: By, id: UUID, *, line: LedgerLine, reason: str, quantity: str, place: str
) -> LedgerLine:
    """Correct how many or where; the old line stays, and what moved on it counts on."""
    if not reason.strip():
        raise BenchError(
            "There is no reason for the correction.",
            "The old line stays on the record, and so does why it was changed.",
            "Write a word or two.",
        )
    return _write_line(
        by,
        id,
        line.step,
        line.what,
        quantity,
        place,
        line.how,
        line.unit,
        line.key,
        replaces=line,
        reason=reason,
    )


def move(
    by: By,
    id: UUID,
    *,
    line: LedgerLine,
    kind: str,
    quantity: str = "",
    old: str = "",
    step: Step | None = None,
) -> Movement:
    """Close a line, or a part of it: back on, new fitted, refilled or undone.

    Without a quantity it is everything that is still off. `old` says what became of the old
    part when a new one was fitted.
    """
    by.must_work_on(line.job)
    kinds = [one.value for one in Closing]
    if kind not in kinds or old not in {"", *(one.value for one in OldPart)}:
        raise BenchError(
            f"A movement '{kind} {old}'.".replace(" '.", "'."),
            f"A line is closed by: {', '.join(kinds)}.",
            "Choose one of them.",
        )
    asked = {"line": line.pk, "kind": kind, "quantity": quantity, "old": old, "step": step}
    with by.act("moved", id, job=line.job, subject=line, asked=asked) as doing:
        if doing.is_repeated:
            return Movement.objects.get(pk=id)
        must_be_open(line.job)
        must_stand(line, yours=quantity)
        standing = next(one for one in load(line.job).balance.lines if one.line.id == str(line.pk))
        row = Movement(
            id=id,
            job=line.job,
            line=line,
            step=step,
            kind=kind,
            quantity=quantity.strip() or f"{standing.still_off.normalize():f}",
            old=old,
            **by.entry(doing),
        )
        if standing.is_closed:
            raise BenchError(
                f"Nothing of {line.what} is off any more.",
                "A line is closed once.",
                "Look at the ledger: another crew may have put it back.",
            )
        check_movement(standing, movement_value(row, line.pk))
        doing.say(line=line.pk, quantity=row.quantity, unit=line.unit, kind=kind)
        return doing.add(row)


def _write_line(
    by: By,
    id: UUID,
    step: Step,
    what: str,
    quantity: str,
    place: str,
    how: str,
    unit: str,
    key: str,
    replaces: LedgerLine | None = None,
    reason: str = "",
) -> LedgerLine:
    by.must_work_on(step.job)
    must_name(what)
    if not place.strip():
        raise BenchError(
            f"No place is written for {what}.",
            "Who puts it back must find it.",
            "Write the bag or bin, or that it is tied back.",
        )
    if how not in [one.value for one in How]:
        raise BenchError(
            f"{what} is '{how}'.",
            f"A thing is {', '.join(one.value for one in How)}.",
            "Choose one of them.",
        )
    amount(quantity, unit)
    if key and key not in {item.key for item in spec_of(step).off}:
        raise BenchError(
            f"Step {step.position} has no such thing to take off.",
            "A line is tied to what the step lists, or to nothing.",
            "Open the step again.",
        )
    asked = {
        "step": step.pk,
        "what": what,
        "quantity": quantity,
        "place": place,
        "how": how,
        "unit": unit,
        "key": key,
        "replaces": replaces,
        "reason": reason,
    }
    verb = "taken off" if replaces is None else "ledger line corrected"
    with by.act(verb, id, job=step.job, subject=step, asked=asked) as doing:
        if doing.is_repeated:
            return LedgerLine.objects.get(pk=id)
        must_be_open(step.job)
        must_be_begun(step)
        if replaces is not None:
            must_stand(replaces, yours=quantity)
            _must_cover_what_moved(replaces, quantity, unit)
        return doing.add(
            LedgerLine(
                id=id,
                job_id=step.job_id,
                step=step,
                key=key,
                what_aside=doing.words_again(
                    replaces and replaces.what_aside, "what", what, LONGEST_WHAT
                ),
                how=how,
                quantity=quantity.strip(),
                unit=unit,
                place_aside=doing.words_again(
                    replaces and replaces.place_aside, "place", place, LONGEST_PLACE
                ),
                replaces=replaces,
                reason_aside=doing.words("reason", reason),
                **by.entry(doing),
            )
        )


def _must_cover_what_moved(line: LedgerLine, quantity: str, unit: str) -> None:
    """Refuse a correction to fewer than went back already."""
    moved = next(one for one in load(line.job).balance.lines if one.line.id == str(line.pk))
    if line.how != How.DRAINED.value and amount(quantity, unit) < moved.closed:
        raise BenchError(
            f"{moved.closed:f} of {line.what} went back already.",
            "Fewer cannot have been off.",
            "Count again, or correct what went back.",
        )
