"""A practice case: one fault hidden in a circuit, and what an owner would say of it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import Flags, Floats
from witnessmark.diagnosis.building import dictionary_of, trouble_of
from witnessmark.diagnosis.dictionary import Dictionary, Suspect
from witnessmark.diagnosis.facts import hazard_words
from witnessmark.diagnosis.graded import Rates, part_of, single_faults
from witnessmark.diagnosis.intermittent import LASTING
from witnessmark.diagnosis.observations import Observation
from witnessmark.diagnosis.predicting import powers
from witnessmark.diagnosis.reports import LOOKS
from witnessmark.diagnosis.watching import load_looks
from witnessmark.errors import BenchError
from witnessmark.networks import Circuit, Fault, parse_fault, solve
from witnessmark.networks.circuit import Complaint

TOLD: Final = 0.9  # chance of a look from which an owner would say so
SEEN: Final = 0.5  # chance of a look from which a crew that watches would
MOST_TOLD: Final = 3  # complaints; nobody lists everything that is dead
_TRIES: Final = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Hidden:
    """A fault that a learner is to find.

    Attributes
    ----------
    fault
        What is wrong, and how badly.
    suspect, repair
        Key of the suspect that it is, and what puts it right.
    words
        The fault in words: "G7, high resistance".
    comes_and_goes
        Whether it is there at some moments only.
    complaints
        What the owner says, as observations of the sheet's complaints.
    rates
        The shop's own weights of faults when it was hidden, as sorted items: by them it was
        drawn, and is believed in.
    """

    fault: Fault
    suspect: str
    repair: str
    words: str
    comes_and_goes: bool
    complaints: tuple[Observation, ...]
    rates: Rates = ()


def draw(
    circuit: Circuit,
    seed: int,
    chosen: str = "",
    comes_and_goes: bool = False,
    rates: Mapping[str, float] | None = None,
) -> Hidden:
    """Return a fault that somebody would complain of, drawn as often as the rates have it.

    Parameters
    ----------
    circuit
        The circuit.
    seed
        Where the dice start: the same seed hides the same fault.
    chosen
        Key of a suspect, "G7:high", where a teacher chose it; its severity is still drawn.
    comes_and_goes
        Whether the fault is there at some moments only.
    rates
        The shop's own weights of faults by kind and mode.

    Raises
    ------
    BenchError
        If nobody may test this circuit, the suspect is not on the sheet, no complaint of the
        sheet would come of it, or it cannot come and go.
    """
    _must_be_testable(circuit)
    book = dictionary_of(circuit, rates)
    scenarios = single_faults(book.graded)
    weight = _complained_of(book) * _may_be(book, chosen, comes_and_goes)[book.suspect]
    if not weight.sum() > 0:
        raise _nobody_would_complain(circuit, book, chosen, comes_and_goes)
    random = np.random.default_rng(seed)
    for _ in range(_TRIES):
        sample = int(random.choice(len(weight), p=weight / weight.sum()))
        low, high = (scenarios[int(n)][0] for n in book.mix.corner[sample][:2])
        fault = _between(low, high, float(random.random()))
        if comes_and_goes and fuses_it_blows(circuit, fault):
            continue  # the fuse would stay blown
        if noticed(circuit, (fault,)):
            return hidden_from(circuit, str(fault), comes_and_goes, rates=rates)
    if comes_and_goes and chosen:
        raise _stays(next(one for one in book.suspects if one.key == chosen))
    raise _nobody_would_complain(circuit, book, chosen, comes_and_goes)


def brings_complaint(circuit: Circuit) -> frozenset[str]:
    """Return the keys of the suspects of which somebody would complain, so that they can be hidden.

    Parameters
    ----------
    circuit
        The circuit.
    """
    book = dictionary_of(circuit)
    found = np.unique(book.suspect[_complained_of(book) > 0])
    return frozenset(book.suspects[int(at)].key for at in found)


def stays_put(circuit: Circuit) -> frozenset[str]:
    """Return the keys of the suspects that can be hidden, but not as a fault that comes and goes.

    Parameters
    ----------
    circuit
        The circuit.
    """
    book = dictionary_of(circuit)
    scenarios = single_faults(book.graded)
    solved = solve(circuit, scenarios)
    owners = np.array([name.partition(".")[0] for name in solved.pieces])
    faulty = np.array([faults[0].part if faults else "" for faults in scenarios])
    gone = solved.blown.any(axis=1) & (owners != faulty[:, None])
    loose = _told(book) & ~gone.any(axis=1)  # brings a complaint, and no other fuse blows
    may = loose[book.mix.corner[:, :2]].any(axis=1) & (_complained_of(book) > 0)
    goes = {
        suspect.key
        for at, suspect in enumerate(book.suspects)
        if suspect.comes_and_goes > LASTING and may[book.suspect == at].any()
    }
    return brings_complaint(circuit) - goes


def rates_where(circuit: Circuit, chosen: str, rates: Mapping[str, float]) -> Mapping[str, float]:
    """Return a shop's rates; none where by them the chosen fault never happens.

    Parameters
    ----------
    circuit
        The circuit.
    chosen
        Key of a suspect, "G7:high"; empty where the fault is drawn.
    rates
        The shop's own weights of faults by kind and mode.
    """
    if not chosen:
        return rates
    kinds = {part.name: str(part.kind) for part in circuit.parts if part.rate is None}
    name, _, mode = chosen.partition(":")
    return {} if rates.get(f"{kinds.get(part_of(name))}/{mode}") == 0 else rates


def hidden_from(
    circuit: Circuit,
    fault: str,
    comes_and_goes: bool = False,
    told: Sequence[str] = (),
    rates: Mapping[str, float] | None = None,
) -> Hidden:
    """Return the hidden fault that was kept as text.

    Parameters
    ----------
    circuit
        The circuit.
    fault
        As a fault is written: "G7:high=0.81".
    comes_and_goes
        Whether it is there at some moments only.
    told
        Keys of the complaints as they were told before; worked out where there are none.
    rates
        The shop's own weights of faults when it was hidden.
    """
    found = parse_fault(fault, circuit)
    book = dictionary_of(circuit)
    suspect = next(one for one in book.suspects if one.key == found.key)
    return Hidden(
        fault=found,
        suspect=suspect.key,
        repair=suspect.repair,
        words=named(suspect),
        comes_and_goes=comes_and_goes,
        complaints=tuple(
            Observation(
                complaint=key, source="customer", comes_and_goes=True if comes_and_goes else None
            )
            for key in told or noticed(circuit, (found,))[:MOST_TOLD]
        ),
        rates=tuple(sorted((rates or {}).items())),
    )


def named(suspect: Suspect) -> str:
    """Return a suspect as a list of causes names it: "G7 ground joint: high resistance".

    Parameters
    ----------
    suspect
        The suspect.
    """
    return f"{part_named(suspect)}: {suspect.words}"


def part_named(suspect: Suspect) -> str:
    """Return a suspect's part as a list of causes names it: "G7 ground joint".

    Parameters
    ----------
    suspect
        The suspect.
    """
    return f"{suspect.part} {suspect.part_words}".strip()


@lru_cache(maxsize=256)
def noticed(
    circuit: Circuit,
    faults: tuple[Fault, ...],
    least: float = TOLD,
    more: Sequence[Complaint] = (),
) -> tuple[str, ...]:
    """Return the keys of the sheet's complaints that some faults bring, in the sheet's order.

    Parameters
    ----------
    circuit
        The circuit.
    faults
        The faults.
    least
        Chance of the complained look from which it counts. [1]
    more
        Complaints of the same circuit that its sheet does not have.
    """
    return noticed_in(circuit, circuit, faults, least, more)


def noticed_in(
    circuit: Circuit,
    changed: Circuit,
    faults: tuple[Fault, ...],
    least: float = SEEN,
    more: Sequence[Complaint] = (),
) -> tuple[str, ...]:
    """Return the complaints that faults bring in a circuit to which something was added.

    Parameters
    ----------
    circuit
        The circuit as its sheet has it.
    changed
        The same with a jumper or the like.
    faults
        The faults.
    least
        Chance of the complained look from which it counts. [1]
    more
        Complaints of the same circuit that its sheet does not have.
    """
    book = dictionary_of(circuit)
    power = powers(circuit, solve(changed, [faults]))
    found = []
    for trouble in (*book.troubles, *map(trouble_of, more)):
        state, load = book.state(trouble.state), book.loads.index(trouble.load)
        chances = load_looks(book, trouble, power[:, state, load])[0]
        if chances[LOOKS.index(trouble.look)] > least:
            found.append(trouble.key)
    return tuple(found)


def fuses_it_blows(circuit: Circuit, fault: Fault) -> tuple[str, ...]:
    """Return the fuses and links that a fault of another part blows.

    Parameters
    ----------
    circuit
        The circuit.
    fault
        The fault.
    """
    solved = solve(circuit, [(fault,)])
    gone = solved.blown[0].any(axis=0)
    names = [name.partition(".")[0] for name, is_gone in zip(solved.pieces, gone, strict=True)
             if is_gone]  # fmt: skip
    return tuple(dict.fromkeys(name for name in names if name != fault.part))


def _must_be_testable(circuit: Circuit) -> None:
    halt = hazard_words(circuit)
    if halt:
        found, _, do = halt.partition(" Touch nothing. ")
        raise BenchError(found, "It is no circuit to practise on.", f"Choose another one. {do}")


def _complained_of(book: Dictionary) -> Floats:
    """Return how often each sample is drawn: never where nobody would complain of it."""
    told = _told(book)[book.mix.corner].any(axis=1)
    weight: Floats = np.exp(book.log_prior) * book.known * told
    return weight


def _told(book: Dictionary) -> Flags:
    """Return for every scenario whether somebody would complain of it."""
    told = np.zeros(len(book.solved), dtype=np.bool_)
    for trouble in book.troubles:
        state, load = book.state(trouble.state), book.loads.index(trouble.load)
        chances = load_looks(book, trouble, book.solved.power[:, state, load])
        told |= chances[:, LOOKS.index(trouble.look)] > TOLD
    return told


def _may_be(book: Dictionary, chosen: str, comes_and_goes: bool) -> Flags:
    """Return for every suspect whether it may be the hidden one."""
    keys = [suspect.key for suspect in book.suspects[:-1]]
    if chosen and chosen not in keys:
        raise BenchError(
            f'The fault "{chosen}" is to be hidden.',
            "The sheet has no such fault.",
            "Choose one from the list.",
        )
    return np.array(
        [
            (not chosen or suspect.key == chosen)
            and (not comes_and_goes or suspect.comes_and_goes > LASTING)
            for suspect in book.suspects
        ],
        dtype=np.bool_,
    )


def _nobody_would_complain(
    circuit: Circuit, book: Dictionary, chosen: str, comes_and_goes: bool
) -> BenchError:
    if not chosen:
        return BenchError(
            f"No fault of {circuit.name} brings one of its complaints.",
            "A practice case starts with what the owner says.",
            "Write complaints into the circuit sheet, or choose another circuit.",
        )
    suspect = next(one for one in book.suspects if one.key == chosen)
    if comes_and_goes and suspect.comes_and_goes <= LASTING:
        return _stays(suspect)
    return BenchError(
        f"{named(suspect)} brings none of the complaints on the sheet.",
        "A practice case starts with what the owner says.",
        "Choose another fault, or write the complaint into the circuit sheet.",
    )


def _stays(suspect: Suspect) -> BenchError:
    return BenchError(
        f"{named(suspect)} does not come and go.",
        "What is blown or worn stays so, and so does a fuse that a short has blown.",
        "Let it be there all the time, or choose a joint or a contact.",
    )


def _between(low: Fault, high: Fault, share: float) -> Fault:
    """Return the fault between two severities, on a log scale where both are above nothing."""
    if low.value is None or high.value is None or low.value == high.value:
        return low
    if min(low.value, high.value) > 0:
        value = float(np.exp((1 - share) * np.log(low.value) + share * np.log(high.value)))
    else:
        value = (1 - share) * low.value + share * high.value
    return Fault(part=low.part, mode=low.mode, value=float(f"{value:.3g}"), piece=low.piece)
