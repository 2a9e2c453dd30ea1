"""Which readings prove a repair, and in which range they must be."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from witnessmark.diagnosis.belief import meter_uncertainty
from witnessmark.diagnosis.dictionary import Dictionary
from witnessmark.diagnosis.evidence import Weighed, trouble
from witnessmark.diagnosis.forecast import predicted_v, quantile_v
from witnessmark.diagnosis.observations import VOLTS, Observation, Test
from witnessmark.diagnosis.sentences import volts_words, where_words

_PROOFS: Final = 3


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
        What the fault reads there.
    sentence
        All that in words.
    """

    key: str
    point: str
    state: str
    low_v: float
    high_v: float
    before: str
    sentence: str


def proofs(
    book: Dictionary, weighed: Weighed, complaints: Sequence[Observation], state: str
) -> tuple[Proof, ...]:
    """Return the readings that differ most between the fault and the healthy circuit.

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
    """
    lead = int(weighed.repairs.argmax())
    own = (book.repair == lead) & book.known
    weight = weighed.belief[own]
    states = list(dict.fromkeys(trouble(book, c.complaint).state for c in complaints)) or [state]
    found = []
    for name in states:
        number = book.state(name)
        for at, place in enumerate(book.places):
            test = Test(kind=VOLTS, point=place.letter, state=name)
            volts = predicted_v(book, weighed, test)[own]
            healthy_v = float(book.healthy_v[number, at])
            u_v = float(meter_uncertainty(healthy_v, 0.01))
            middle_v = quantile_v(volts, weight, 0.5)
            steady = weight[book.unsteady[own, number, at]].sum() < 0.5 * weight.sum()
            apart = abs(middle_v - healthy_v) / u_v
            if steady and apart > 4.0:
                low_v, high_v = healthy_v - 2.0 * u_v, healthy_v + 2.0 * u_v
                if healthy_v > -u_v:
                    low_v = max(low_v, 0.0)
                before = volts_words(
                    quantile_v(volts, weight, 0.05), quantile_v(volts, weight, 0.95)
                )
                setting = book.settings[number].words
                words = f"After the repair, {where_words(place)}, must read "
                words += f"{low_v:.2f} to {high_v:.2f} V with {setting}; the fault reads {before}."
                proof = Proof(
                    key=test.key,
                    point=place.letter,
                    state=name,
                    low_v=low_v,
                    high_v=high_v,
                    before=before,
                    sentence=words,
                )
                found.append((apart, proof))
    found.sort(key=lambda pair: -pair[0])
    return tuple(proof for _, proof in found[:_PROOFS])
