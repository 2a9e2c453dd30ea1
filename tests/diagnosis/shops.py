"""Simulated shops: vehicles whose faults are known, complaints as told, tests with noise.

Severities are drawn apart from the belief, evenly in the logarithm of the ohms, looks
from the solved power, one reading in fifty a slip, some faults there only at times.
"""

from dataclasses import dataclass, replace

import numpy as np

from tests.diagnosis.bench_play import Vehicle
from witnessmark.diagnosis.belief import MISREAD
from witnessmark.diagnosis.building import dictionary_of
from witnessmark.diagnosis.choose import compare
from witnessmark.diagnosis.dictionary import SOMETHING_ELSE
from witnessmark.diagnosis.evidence import weigh
from witnessmark.diagnosis.focus import focused
from witnessmark.diagnosis.intermittent import HERE, share_that_goes
from witnessmark.diagnosis.kinds import METER_AND_LAMP, SHOW_ANYWAY, SWAP, VOLTS
from witnessmark.diagnosis.observations import Observation, TestReading
from witnessmark.diagnosis.offers import minutes_of, standing_after
from witnessmark.diagnosis.pair_grid import with_pairs
from witnessmark.diagnosis.pairs import AT_ONCE
from witnessmark.diagnosis.predicting import powers
from witnessmark.diagnosis.reports import ATTENTIVE, LOOKS
from witnessmark.diagnosis.run import _counts, _done, _doubted, asked_next
from witnessmark.diagnosis.several import unexplained_words
from witnessmark.diagnosis.stop import CAUSE, stop_rule
from witnessmark.diagnosis.watching import load_looks
from witnessmark.networks.fault_modes import fault_modes
from witnessmark.networks.solver import solve
from witnessmark.quantities import parse

MOST_TESTS = 12
TWO_COMPLAINTS = 0.3  # of the vehicles have two loads asked after
UNSURE = 0.2  # of the crews do not know whether the complaint was there


@dataclass
class Case:
    """One vehicle as it comes in."""

    faults: tuple
    repairs: frozenset  # that its complaints need
    complaints: list
    goes: bool


def drawn(sheet, random, misreport=0.0):
    """A vehicle that somebody complains of."""
    modes = fault_modes(sheet)
    weights = np.array([mode.weight for mode in modes])
    weights /= weights.sum()
    book = dictionary_of(sheet)
    while True:
        two = random.random() < AT_ONCE / 2 / (1 + AT_ONCE / 2)
        chosen = random.choice(len(modes), 2 if two else 1, replace=False, p=weights)
        own = [modes[number] for number in chosen]
        if len({mode.part for mode in own}) < len(own):
            continue
        faults = tuple(one_of(mode, random) for mode in own)
        asked = random.choice(
            len(book.troubles), 2 if random.random() < TWO_COMPLAINTS else 1, False
        )
        seen = {book.troubles[number].key: book.troubles[number] for number in asked}
        if len({(t.load, t.state) for t in seen.values()}) < len(seen):
            continue
        scenarios = [(), faults, *((fault,) for fault in faults)]
        power = powers(sheet, solve(sheet, scenarios))
        true = [look_of(book, found, power[1], random) for found in seen.values()]
        source = "here" if random.random() < 0.5 else "customer"
        said = [str(random.choice(LOOKS, p=ATTENTIVE[source][LOOKS.index(look)])) for look in true]
        said = [str(random.choice(LOOKS)) if random.random() < misreport else look for look in said]
        if all(look == "works" for look in said):
            continue
        complaints = [
            Observation(complaint=key, source=source, look=look)
            for key, look in zip(seen, said, strict=True)
        ]
        goes = all(
            random.random() < share_that_goes(str(sheet.part(f.part).kind), f.mode) for f in faults
        )
        needed = needed_repairs(book, own, power, list(seen.values()))
        return Case(faults, needed, complaints, goes)


def one_of(mode, random):
    """A fault of a mode, its severity anywhere between the least and the greatest."""
    values = [value for value in mode.severities if value is not None]
    if not values:
        return mode.faults[0]
    low, high = min(values), max(values)
    value = float(np.exp(random.uniform(np.log(low), np.log(high))))
    return replace(mode.faults[0], value=value)


def look_of(book, found, power, random):
    state, load = book.state(found.state), book.loads.index(found.load)
    chances = load_looks(book, found, power[[state], load][:1])[0]
    return str(random.choice(LOOKS, p=chances / chances.sum()))


def needed_repairs(book, own, power, seen):
    """The repairs without which some load that was asked after would not work."""
    if len(own) == 1:
        return frozenset(mode.repair for mode in own)
    works = []
    for row in (2, 3):
        states = [(book.state(t.state), book.loads.index(t.load), t) for t in seen]
        works.append(
            all(
                load_looks(book, t, power[row][[state], load][:1])[0].argmax() == 0
                for state, load, t in states
            )
        )
    # The second alone leaves everything working: only the first is needed, and so on.
    if works[1] and not works[0]:
        return frozenset([own[0].repair])
    if works[0] and not works[1]:
        return frozenset([own[1].repair])
    return frozenset(mode.repair for mode in own)


def parts_of(book, repair):
    """The parts that a repair puts right."""
    own = [one.parts for one in book.suspects if one.repair == repair]
    return list(dict.fromkeys(part for parts in own for part in parts))


def answered(case, vehicle, healthy, test, book, random):
    """One reading; the complaint may be away, a slip may happen."""
    there = not case.goes or random.random() < HERE
    # To the eye, by itself or when it is moved, a bad part shows whether it plays up or not.
    shows = there or test.kind in SHOW_ANYWAY
    reading = (vehicle if shows else healthy).answer(test)
    text, quantity = reading.text, reading.quantity
    if reading.kind == VOLTS and random.random() < MISREAD:
        text = f"{random.uniform(0, book.span_v):.2f} V"
        quantity = parse(text, "V")
    present = None if random.random() < UNSURE else there
    return TestReading(
        id=f"{test.key} {random.integers(1 << 30)}", kind=reading.kind, point=reading.point,
        state=reading.state, reference=reading.reference, part=reading.part, text=text,
        quantity=quantity, outcome=reading.outcome, present=present,
    )  # fmt: skip


def followed(sheet, case, seed, means=METER_AND_LAMP, wary=True, wrong_part_min=None):
    """Follow the advice; yield belief in the leading repair, whether it is right, and the order.

    A wary crew now and then does not know whether the complaint was there, and slips. With minutes
    for a wrong part, it is fitted, nothing changes, that is written down, and the crew goes on.
    """
    random = np.random.default_rng(seed)
    plain = dictionary_of(sheet)
    vehicle, healthy = (Vehicle(sheet, now, seed, case.complaints) for now in (case.faults, ()))
    readings, minutes, fitted = [], 0.0, []
    told = next(one for one in plain.troubles if one.key == case.complaints[0].complaint)
    while True:
        paired = with_pairs(sheet, (), plain, case.complaints, readings)
        book, weighed = focused(paired, weigh(paired, case.complaints, readings))
        lead = book.repairs[int(weighed.repairs.argmax())]
        right = frozenset(lead.split(" and ")) == case.repairs
        last = standing_after([reading.test for reading in readings])
        weighing = compare(
            book, weighed, case.complaints, last, _done(readings, weighed), (), means
        )
        best = asked_next(book, weighed, weighing, case.complaints, readings)
        unexplained = unexplained_words(book, weighed, case.complaints)
        doubted = bool(_doubted(readings, weighed))
        stop = stop_rule(
            book,
            weighed,
            unexplained,
            best is not None,
            any(_counts(reading) for reading in readings),
            {},
            doubted,
            weighing.spares,
        )
        order = [book.repairs[n] for n in np.argsort(-weighed.repairs, kind="stable").tolist()]
        order = [one for one in order if one != SOMETHING_ELSE and one not in fitted]
        yield float(weighed.repairs.max()), right, stop.kind == CAUSE, minutes, order, len(fitted)
        if stop.kind == CAUSE or best is None or len(readings) >= MOST_TESTS:
            if wrong_part_min is None or frozenset(order[0].split(" and ")) == case.repairs:
                return
            fitted.append(order[0])
            minutes += wrong_part_min
            readings += [
                TestReading(
                    id=f"fitted {part}", kind=SWAP, part=part, state=told.state,
                    text="no change", outcome="no change", present=True,
                )
                for part in parts_of(book, order[0])
                if part not in {fault.part for fault in case.faults}
            ]  # fmt: skip
            continue
        test = weighing.menu.tests[best]
        minutes += minutes_of(book, test, last)
        if wary:
            readings.append(answered(case, vehicle, healthy, test, plain, random))
        else:
            readings.append(vehicle.answer(test))
