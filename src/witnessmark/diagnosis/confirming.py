"""One more reading where the likeliest cause shows, when nothing is left to tell it apart from."""

from collections.abc import Sequence
from typing import Final

from witnessmark.diagnosis.against_healthy import APART_IN_U, against_healthy
from witnessmark.diagnosis.choose import Weighing
from witnessmark.diagnosis.dictionary import Dictionary
from witnessmark.diagnosis.evidence import Weighed, trouble
from witnessmark.diagnosis.kinds import CLAMP, VOLTS
from witnessmark.diagnosis.observations import Observation
from witnessmark.diagnosis.outcomes import wanders
from witnessmark.diagnosis.stop import ALONE, CERTAIN

NARROW_SHARE: Final = 0.5  # of what lies between cause and healthy: so narrow a cause must read


def confirming(
    book: Dictionary, weighed: Weighed, weighing: Weighing, complaints: Sequence[Observation]
) -> int | None:
    """Return the quickest reading that shows the likeliest cause; None where none is wanted.

    A test is chosen for what it tells among the suspects. Where only 'something else', which
    predicts nothing, keeps the one cause left from being named, a reading that it predicts and a
    healthy circuit does not is worth its minutes.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    weighed
        Belief so far.
    weighing
        The tests that are left.
    complaints
        What was reported: where it is seen, the cause is read first.
    """
    lead = int(weighed.repairs.argmax())
    own = (book.repair == lead) & book.known
    known = float(weighed.belief[book.known].sum())
    if not own.any() or not CERTAIN * known <= weighed.repairs[lead] < ALONE:
        return None
    tests, minutes = weighing.menu.tests, weighing.minutes.tolist()
    told = {trouble(book, one.complaint).state for one in complaints}
    for number in sorted(
        range(len(tests)), key=lambda at: (tests[at].state not in told, minutes[at])
    ):
        test = tests[number]
        if test.kind not in (VOLTS, CLAMP) or wanders(book, test)[own].any():
            continue
        seen = against_healthy(book, weighed, test, own)
        is_narrow = seen.high - seen.low < NARROW_SHARE * abs(seen.middle - seen.healthy)
        if seen.in_u > APART_IN_U and is_narrow:
            return number
    return None
