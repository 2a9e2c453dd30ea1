"""The check of steps: what would go wrong is found before anybody lifts a spanner."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from difflib import get_close_matches

from witnessmark.work.amounts import amount, amount_in_words
from witnessmark.work.cautions import CAUTIONS, MOST_SHOWN, OPERATIONS, cautions_for
from witnessmark.work.steps import CLOSED_BY, Closing, OffItem, OnItem, Procedure, Step, StepKind


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One thing to mend before work opens: a sentence, and the step to mend it in."""

    rule: str
    what: str  # the thing in it that stands out on a page: "Battery lead"
    sentence: str
    step: str  # key of the step to mend
    number: int  # of that step, as shown


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """What the check knows of the shop; None for what it is not told."""

    longest_period_min: int | None = None  # minutes to work in, tools down taken off
    skills: Collection[str] | None = None  # that somebody has
    permits: Collection[str] | None = None


def check_procedure(procedure: Procedure, shop: Shop | None = None) -> tuple[Problem, ...]:
    """Return everything to mend in a list of steps before work may open.

    Parameters
    ----------
    procedure
        The steps, in the order in which they are shown.
    shop
        What is known of the shop: its longest period, and what its people may and can do.

    Returns
    -------
    tuple
        Problems in the order of the steps where they are mended. Empty if there are none.
    """
    steps = _Steps(procedure)
    found = [
        *_unknown_needs(steps),
        *_cycles(steps),
        *_never_closed(steps),
        *_covered_before_seen(steps),
        *_measurements(steps),
        *_hazards(steps),
        *_too_long(steps, shop or Shop()),
        *_nobody(steps, shop or Shop()),
        *_after_road_test(steps),
    ]
    return tuple(sorted(found, key=lambda one: one.number))


class _Steps:
    """The steps by key, with everything that surely comes before each."""

    def __init__(self, procedure: Procedure) -> None:
        self.all = procedure.steps
        self.by_key = {step.key: step for step in procedure.steps}
        self.number = {step.key: number for number, step in enumerate(procedure.steps, 1)}
        self.before = {key: self._before(key) for key in self.by_key}

    def _before(self, key: str) -> frozenset[str]:
        seen: set[str] = set()
        ahead = list(self.by_key[key].needs)
        while ahead:
            need = ahead.pop()
            if need in self.by_key and need not in seen:
                seen.add(need)
                ahead.extend(self.by_key[need].needs)
        return frozenset(seen)

    def says(self, rule: str, step: Step, what: str, sentence: str) -> Problem:
        return Problem(
            rule=rule,
            what=what,
            sentence=sentence,
            step=step.key,
            number=self.number[step.key],
        )

    def name(self, key: str) -> str:
        return f"step {self.number[key]}"


def _unknown_needs(steps: _Steps) -> Iterator[Problem]:
    for step in steps.all:
        for word, keys in (("needs", step.needs), ("covers", step.covers)):
            for key in keys:
                if key not in steps.by_key:
                    near = get_close_matches(key, steps.by_key, n=1)
                    hint = f" Perhaps “{near[0]}” is meant." if near else ""
                    yield steps.says(
                        f"unknown {word}",
                        step,
                        key,
                        f"{step.title} {word} “{key}”, and no step has that key.{hint}",
                    )


def _cycles(steps: _Steps) -> Iterator[Problem]:
    told: set[str] = set()
    for step in steps.all:
        if step.key in steps.before[step.key] and step.key not in told:
            ring = [step.key] + [
                other.key
                for other in steps.all
                if other.key in steps.before[step.key]
                and step.key in steps.before[other.key]
                and other.key != step.key
            ]
            told.update(ring)
            if len(ring) == 1:
                sentence = f"{step.title} waits for itself."
            else:
                names = ", ".join(steps.name(key) for key in ring)
                sentence = f"{names[0].upper()}{names[1:]} wait for each other: none can begin."
            yield steps.says("cycle", step, step.title, sentence)


def _never_closed(steps: _Steps) -> Iterator[Problem]:
    off: dict[str, tuple[Step, OffItem]] = {}
    closings: dict[str, list[tuple[Step, OnItem]]] = defaultdict(list)
    for step in steps.all:
        for item in step.off:
            if item.key in off:
                first = steps.name(off[item.key][0].key)
                sentence = f"{item.what} is already off since {first}, under the same key."
                yield steps.says("off twice", step, item.what, sentence)
            else:
                off[item.key] = (step, item)
        for on in step.on:
            closings[on.key].append((step, on))
    for key, ends in closings.items():
        if key not in off:
            for step, _ in ends:
                sentence = f"“{key}” is put back and was never taken off."
                yield steps.says("never off", step, key, sentence)
    for key, (step, item) in off.items():
        yield from _closings_of(steps, step, item, closings.get(key, []))


def _closings_of(
    steps: _Steps, step: Step, item: OffItem, ends: list[tuple[Step, OnItem]]
) -> Iterator[Problem]:
    way = CLOSED_BY[item.how][0]
    if not ends:
        never = {
            Closing.BACK_ON: "put back",
            Closing.REFILLED: "refilled",
            Closing.UNDONE: "undone",
        }[way]
        sentence = f"{item.what} is {item.how} in {steps.name(step.key)} and never {never}."
        if item.one_use:
            sentence = (
                f"{item.what} is a one-use part, {item.how} in {steps.name(step.key)}, "
                "and no new one is listed."
            )
        yield steps.says("never closed", step, item.what, sentence)
        return
    whole = amount(item.quantity, item.unit)
    closed = Decimal(0)
    for end, on in ends:
        if end.key != step.key and step.key not in steps.before[end.key]:
            sentence = (
                f"{item.what} is put right in {steps.name(end.key)}, which does not wait for "
                f"{steps.name(step.key)}, where it is {item.how}."
            )
            yield steps.says("closed before off", end, item.what, sentence)
        if item.one_use and on.kind is Closing.BACK_ON:
            sentence = f"{item.what} is a one-use part and goes back on; no new one is listed."
            yield steps.says("one-use part", end, item.what, sentence)
        elif on.kind not in CLOSED_BY[item.how]:
            ways = " or ".join(CLOSED_BY[item.how])
            sentence = f"{item.what} was {item.how} and is written as {on.kind}, not as {ways}."
            yield steps.says("wrong way back", end, item.what, sentence)
        closed += amount(on.quantity, item.unit) if on.quantity else whole - closed
    last = ends[-1][0]
    if closed < whole:
        left = amount_in_words(whole - closed, item.unit)
        sentence = f"{left} of {item.what} is never put right: {item.quantity} came off."
        yield steps.says("never closed", last, item.what, sentence)
    elif closed > whole and ends[0][1].kind is not Closing.REFILLED:
        sentence = (
            f"More of {item.what} goes back than came off: "
            f"{amount_in_words(closed, item.unit)} of {amount_in_words(whole, item.unit)}."
        )
        yield steps.says("more back than off", last, item.what, sentence)


def _covered_before_seen(steps: _Steps) -> Iterator[Problem]:
    for step in steps.all:
        for key in step.covers:
            seen = steps.by_key.get(key)
            if seen is None:
                continue
            if not (seen.is_hold or seen.measurements or seen.photos):
                sentence = (
                    f"{step.title} covers {steps.name(key)}, where nothing is read, "
                    "photographed or held."
                )
                yield steps.says("covered, nothing seen", seen, seen.title, sentence)
            elif key not in steps.before[step.key]:
                sentence = (
                    f"{step.title} covers what is to be seen in {steps.name(key)}, and does not "
                    "wait for it."
                )
                yield steps.says("covered before seen", step, seen.title, sentence)


def _measurements(steps: _Steps) -> Iterator[Problem]:
    for step in steps.all:
        for one in step.measurements:
            if not one.limit_text.strip():
                yield steps.says("no limit", step, one.what, f"{one.what} has no limit.")
            if not one.source.strip():
                of = f" {one.limit_text}" if one.limit_text else ""
                yield steps.says("no source", step, one.what, f"{one.what}{of} has no source.")


def _hazards(steps: _Steps) -> Iterator[Problem]:
    for step in steps.all:
        for tag in step.operations:
            if tag not in OPERATIONS:
                near = get_close_matches(tag, OPERATIONS, n=1)
                hint = f" Perhaps “{near[0]}” is meant." if near else ""
                sentence = f"“{tag}” is no operation with a known caution.{hint}"
                yield steps.says("unknown operation", step, tag, sentence)
        for id in step.cautions:
            if id not in CAUTIONS:
                sentence = f"There is no caution “{id}”."
                yield steps.says("unknown caution", step, id, sentence)
        for caution in cautions_for(step.operations):
            if caution.id not in step.cautions:
                sentence = f"{step.title} is work on {caution.when}, without caution {caution.id}."
                yield steps.says("hazard without caution", step, step.title, sentence)
        if len(set(step.cautions)) > MOST_SHOWN:
            sentence = (
                f"{step.title} lists {len(set(step.cautions))} cautions and {MOST_SHOWN} are read "
                "at once. Make two steps of it."
            )
            yield steps.says("too many cautions", step, step.title, sentence)


def _too_long(steps: _Steps, shop: Shop) -> Iterator[Problem]:
    longest = shop.longest_period_min
    if longest is None:
        return
    for step in steps.all:
        whole = step.minutes + (step.hold_min if step.is_hold else 0)
        if whole > longest:
            hold = f" with the teacher's {step.hold_min} min" if step.is_hold else ""
            sentence = (
                f"{step.title} takes {whole} min{hold}; the longest period has {longest} min."
            )
            yield steps.says("longer than a period", step, step.title, sentence)


def _nobody(steps: _Steps, shop: Shop) -> Iterator[Problem]:
    held: Iterable[tuple[str, Collection[str] | None, str]]
    for step in steps.all:
        held = (("skill", shop.skills, "has"), ("permit", shop.permits, "holds"))
        for word, known, verb in held:
            wanted = step.skills if word == "skill" else step.permits
            for one in wanted if known is not None else ():
                if one not in (known or ()):
                    sentence = f"{step.title} asks for the {word} “{one}”, which nobody {verb}."
                    yield steps.says(f"{word} nobody has", step, one, sentence)


def _after_road_test(steps: _Steps) -> Iterator[Problem]:
    """A vehicle is not driven with things off: what is off before is closed before."""
    for step in steps.all:
        if step.kind is not StepKind.ROAD_TEST:
            continue
        opened = [(other, item) for other in steps.all for item in other.off]
        for other, item in opened:
            if other.key not in steps.before[step.key]:
                continue
            late = [
                end.key
                for end in steps.all
                for on in end.on
                if on.key == item.key and end.key not in steps.before[step.key]
            ]
            if late:
                sentence = (
                    f"{item.what} is put right in {steps.name(late[0])}, and the road test in "
                    f"{steps.name(step.key)} does not wait for it."
                )
                yield steps.says("road test before closed", step, item.what, sentence)
