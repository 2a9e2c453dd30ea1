"""One more reading where the likeliest cause shows, when nothing is left to tell it apart from."""

from collections.abc import Sequence
from typing import Final

from witnessmark.diagnosis.belief import METERS, meter_uncertainty
from witnessmark.diagnosis.choose import Weighing
from witnessmark.diagnosis.dictionary import Dictionary
from witnessmark.diagnosis.evidence import Weighed, trouble
from witnessmark.diagnosis.forecast import healthy_size, predicted, quantile
from witnessmark.diagnosis.kinds import CLAMP, VOLTS
from witnessmark.diagnosis.observations import Observation
from witnessmark.diagnosis.outcomes import wanders
from witnessmark.diagnosis.stop import ALONE, CERTAIN

SHOWS_IN_U: Final = 4.0  # uncertainties between what the cause reads and what a healthy one does
NARROW_SHARE: Final = 0.5  # of that: what a cause may read that confirms it


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
    weight = weighed.belief[own]
    tests, minutes = weighing.menu.tests, weighing.minutes.tolist()
    seen = {trouble(book, one.complaint).state for one in complaints}
    for number in sorted(
        range(len(tests)), key=lambda at: (tests[at].state not in seen, minutes[at])
    ):
        test = tests[number]
        if test.kind not in (VOLTS, CLAMP) or wanders(book, test)[own].any():
            continue
        shown = predicted(book, weighed, test)[own]
        low, middle, high = (quantile(shown, weight, share) for share in (0.05, 0.5, 0.95))
        healthy = healthy_size(book, test)
        apart = abs(middle - healthy) / float(meter_uncertainty(healthy, 0.01, METERS[test.kind]))
        if apart > SHOWS_IN_U and high - low < NARROW_SHARE * abs(middle - healthy):
            return number
    return None
