"""Which readings prove a repair, and in which range they must be."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from witnessmark.diagnosis.against_healthy import APART_IN_U, against_healthy
from witnessmark.diagnosis.answers import proof_words
from witnessmark.diagnosis.belief import meter_uncertainty
from witnessmark.diagnosis.dictionary import Dictionary, Place
from witnessmark.diagnosis.evidence import Weighed, trouble
from witnessmark.diagnosis.forecast import quantile
from witnessmark.diagnosis.kinds import VOLTS
from witnessmark.diagnosis.observations import Observation, Test, TestReading
from witnessmark.diagnosis.outcomes import wanders
from witnessmark.diagnosis.several import distinct
from witnessmark.diagnosis.words import size_words

PROOFS: Final = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """A reading that proves the repair, and the range it must be in.

    Attributes
    ----------
    key
        Names the test.
    point, state
        Where and in which state.
    low_v, high_v
        The healthy range. [V]
    before
        What the fault reads there; empty where it reads as a healthy circuit does.
    shows
        Words of the complaint whose end it shows; empty if of no one in particular.
    sentence
        All that in words.
    """

    key: str
    point: str
    state: str
    low_v: float
    high_v: float
    before: str
    shows: str
    sentence: str


@dataclass(frozen=True, slots=True)
class _Seen:
    """One point in one state: how far apart fault and repair read."""

    place: Place
    state: str
    healthy_v: float
    apart: float
    before: str


def proofs(
    book: Dictionary,
    weighed: Weighed,
    complaints: Sequence[Observation],
    state: str,
    readings: Sequence[TestReading] = (),
) -> tuple[Proof, ...]:
    """Return up to three readings that show that the repair worked and every complaint has gone.

    Only what reads otherwise with the fault proves anything; what was read so before the repair
    comes first. A complaint for which no reading does so keeps the one nearest its load.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    weighed
        Belief; the likeliest repair is the one to be proved.
    complaints
        The complaints; the proof is taken in their states.
    state
        The state to prove it in where nobody complained.
    readings
        What was read before the repair.
    """
    told = [trouble(book, one.complaint) for one in distinct(book, complaints)]
    states = list(dict.fromkeys(one.state for one in told)) or [state]
    seen = [_seen(book, weighed, place, name) for name in states for place in book.places]
    off = _read_off(seen, readings)
    seen.sort(key=lambda one: (not one.before, _at(one) not in off, -one.apart))
    ends = {part.name: part.letters for part in book.parts}
    chosen: dict[tuple[str, str], tuple[_Seen, str]] = {}
    # First one reading for each complaint, in its own state and as near its load as can be.
    for one in told[:PROOFS]:
        here = [s for s in seen if s.state == one.state]
        near = ends.get(one.load, ())
        if len(told) > 1 or not any(s.before for s in here):
            here.sort(key=lambda s: (not s.before, s.place.letter not in near))
        fresh = [s for s in here if _at(s) not in chosen]
        if fresh:
            chosen[_at(fresh[0])] = (fresh[0], one.words if len(told) > 1 else "")
    for spot in seen:
        if len(chosen) < PROOFS and (spot.before or not chosen):
            chosen.setdefault(_at(spot), (spot, ""))
    return tuple(_proof(book, spot, shows) for spot, shows in chosen.values())


def proof_range(healthy_v: float) -> tuple[float, float]:
    """Return the range in which a meter reads volts that a healthy circuit has.

    Parameters
    ----------
    healthy_v
        What the healthy circuit has there. [V]

    Returns
    -------
    tuple of float
        Lower and upper end: twice the meter's uncertainty to both sides. [V]

    Examples
    --------
    >>> [round(end_v, 2) for end_v in proof_range(0.02)]
    [0.0, 0.08]
    """
    u_v = float(meter_uncertainty(healthy_v, 0.01))
    low_v, high_v = healthy_v - 2.0 * u_v, healthy_v + 2.0 * u_v
    return (max(low_v, 0.0) if healthy_v > -u_v else low_v), high_v


def _at(spot: _Seen) -> tuple[str, str]:
    return spot.place.letter, spot.state


def _read_off(seen: Sequence[_Seen], readings: Sequence[TestReading]) -> set[tuple[str, str]]:
    """Return where and in which state volts were read that no healthy circuit has."""
    healthy = {_at(spot): spot.healthy_v for spot in seen}
    return {
        at
        for reading in readings
        if reading.kind == VOLTS and not reading.reference and reading.present is not False
        if (at := (reading.point, reading.state)) in healthy and reading.quantity is not None
        if abs(reading.value - healthy[at])
        > APART_IN_U * float(meter_uncertainty(healthy[at], 0.01))
    }


def _seen(book: Dictionary, weighed: Weighed, place: Place, state: str) -> _Seen:
    lead = int(weighed.repairs.argmax())
    own = (book.repair == lead) & book.known
    weight = weighed.belief[own]
    test = Test(kind=VOLTS, point=place.letter, state=state)
    seen = against_healthy(book, weighed, test, own)
    steady = weight[wanders(book, test)[own]].sum() < 0.5 * weight.sum()
    # A battery that stands high or low is no fault: at the volts of the sheet it must differ too.
    volts = book.mix.rows(own).of(book.solved.volts[:, book.state(state), book.point(place.letter)])
    u_v = float(meter_uncertainty(seen.healthy, 0.01))
    apart = min(seen.in_u, abs(quantile(volts, weight, 0.5) - seen.healthy) / u_v)
    tells = steady and apart > APART_IN_U
    before = size_words(seen.low, seen.high) if tells else ""
    return _Seen(place, state, seen.healthy, apart if steady else 0.0, before)


def _proof(book: Dictionary, seen: _Seen, shows: str) -> Proof:
    low_v, high_v = proof_range(seen.healthy_v)
    setting = book.settings[book.state(seen.state)].words
    return Proof(
        key=Test(kind=VOLTS, point=seen.place.letter, state=seen.state).key,
        point=seen.place.letter,
        state=seen.state,
        low_v=low_v,
        high_v=high_v,
        before=seen.before,
        shows=shows,
        sentence=proof_words(seen.place, low_v, high_v, setting, seen.before, shows),
    )
