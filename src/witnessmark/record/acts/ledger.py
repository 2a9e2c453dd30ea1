"""Acts on the ledger: take off, move back, correct a line, take a movement back."""

from uuid import UUID

from witnessmark.errors import BenchError
from witnessmark.quantities import parse, unit_named
from witnessmark.record.acts.by import By
from witnessmark.record.acts.evidence import number_of
from witnessmark.record.acts.intake import must_be_open
from witnessmark.record.acts.names import must_name
from witnessmark.record.acts.replacing import must_have_reason, must_stand
from witnessmark.record.acts.steps import must_be_begun
from witnessmark.record.core import load
from witnessmark.record.models import LedgerLine, Movement, Step
from witnessmark.record.specs import spec_of
from witnessmark.record.values import movement_value
from witnessmark.work.amounts import amount
from witnessmark.work.ledger import TAKEN_BACK, check_movement
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
    by: By,
    id: UUID,
    *,
    line: LedgerLine,
    reason: str,
    quantity: str,
    place: str,
    what: str = "",
) -> LedgerLine:
    """Correct how many, where or what; the old line stays, and what moved on it counts on."""
    must_have_reason(reason, "correction", "line")
    named = what.strip() or line.what
    if line.key and named != line.what:
        raise BenchError(
            f"{line.what} is an item of step {line.step.position}.",
            "Its name is the procedure's.",
            "Correct how many there are, or where they lie.",
        )
    if (named, quantity.strip(), place.strip()) == (line.what, line.quantity, line.place):
        raise BenchError(
            "Nothing is corrected: all is as it was.",
            "A correction changes how many, where or what.",
            "Change it, or leave the line as it is.",
        )
    return _write_line(
        by,
        id,
        line.step,
        named,
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
    answered: str = "",
) -> Movement:
    """Close a line, or a part of it: back on, new fitted, refilled or undone.

    Without a quantity it is everything that is still off. `old` says what became of the old
    part when a new one was fitted. `answered` is the question that was asked about the
    movement, and that it is right; it is kept with the movement.
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
    if answered:
        asked["answered"] = answered
    with by.act("moved", id, job=line.job, subject=line, asked=asked) as doing:
        if doing.is_repeated:
            return Movement.objects.get(pk=id)
        must_be_open(line.job)
        must_stand(line, yours=quantity)
        standing = next(one for one in load(line.job).balance.lines if one.line.id == str(line.pk))
        if standing.is_closed:
            raise BenchError(
                f"Nothing of {line.what} is off any more.",
                "A line is closed once.",
                "Look at the ledger: another crew may have put it back.",
            )
        row = Movement(
            id=id,
            job=line.job,
            line=line,
            step=step,
            kind=kind,
            quantity=_number(quantity.strip() or f"{standing.still_off:f}", line.unit),
            old=old,
            **by.entry(doing),
        )
        question = check_movement(standing, movement_value(row, line.pk))
        if question is not None:
            if answered != question.found:
                raise question
            row.answered_aside = doing.words("answered", answered)
        doing.say(line=line.pk, quantity=row.quantity, unit=line.unit, kind=kind)
        return doing.add(row)


def take_back(by: By, id: UUID, *, movement: Movement, reason: str) -> Movement:
    """Say that a movement was not so: what it closed is off again, and the entry stays.

    It belongs to the step of the movement, so a mark on that step breaks.
    """
    must_have_reason(reason, "taking back", "entry")
    by.must_work_on(movement.job)
    asked = {"movement": movement.pk, "reason": reason}
    line = movement.line
    with by.act("movement taken back", id, job=movement.job, subject=line, asked=asked) as doing:
        if doing.is_repeated:
            return Movement.objects.get(pk=id)
        must_be_open(movement.job)
        must_stand(movement, yours=reason)
        if movement.kind == TAKEN_BACK:
            raise BenchError(
                f"This entry takes back that {line.what} was put right.",
                "What is off is put right by an entry of its own.",
                "Put it back on the step where that is done.",
            )
        doing.say(line=line.pk, kind=movement.kind)
        return doing.add(
            Movement(
                id=id,
                job=movement.job,
                line=line,
                step=movement.step,
                kind=TAKEN_BACK,
                quantity=movement.quantity,
                old=movement.old,
                replaces=movement,
                reason_aside=doing.words("reason", reason),
                **by.entry(doing),
            )
        )


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
    is_free = replaces is None and not key and not unit  # neither a sheet nor a field names a unit
    unit = parse(quantity).unit if is_free else unit_named(unit)
    number = _number(quantity, unit)
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
                quantity=number,
                unit=unit,
                place_aside=doing.words_again(
                    replaces and replaces.place_aside, "place", place, LONGEST_PLACE
                ),
                replaces=replaces,
                reason_aside=doing.words("reason", reason),
                **by.entry(doing),
            )
        )


def _number(text: str, unit: str) -> str:
    """Return a quantity as its line keeps it: as typed, or converted from another unit."""
    exact, typed = amount(text, unit), parse(text, unit)
    return number_of(typed) if typed.unit == unit else f"{exact:f}"


def _must_cover_what_moved(line: LedgerLine, quantity: str, unit: str) -> None:
    """Refuse a correction to fewer than went back already."""
    moved = next(one for one in load(line.job).balance.lines if one.line.id == str(line.pk))
    if line.how != How.DRAINED.value and amount(quantity, unit) < moved.closed:
        raise BenchError(
            f"{moved.closed:f} of {line.what} went back already.",
            "Fewer cannot have been off.",
            "Count again, or correct what went back.",
        )
