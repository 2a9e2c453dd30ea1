"""Which reading again would settle what is too close to call."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from witnessmark.metrology.estimates import Bench, Estimate, estimate
from witnessmark.metrology.limits import (
    OUTSIDE_TO,
    WITHIN_FROM,
    Limit,
    Verdict,
    chance_in_words,
    sure_range,
    verdict,
)
from witnessmark.metrology.readings import Place, Reading
from witnessmark.quantities import Quantity, show

_MOST = 5  # more readings of one place than this in one lesson is no advice
_TIMES = {1: "once", 2: "twice", 3: "three times", 4: "four times", 5: "five times"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """What to read again, and what that would bring if the means stay.

    `more` is the number of further readings of each place; 0 says that reading again settles
    nothing. `settles` is the chance that the verdict is settled then, whatever it will be.
    """

    sentence: str
    more: int
    u_then: float
    chance_then: float
    verdict_then: Verdict
    settles: float


def what_to_measure_again(
    title: str,
    weights: Mapping[Place, float],
    names: Mapping[Place, str],
    readings: Sequence[Reading],
    bench: Bench,
    limit: Limit,
    within_from: float = WITHIN_FROM,
    outside_to: float = OUTSIDE_TO,
) -> Advice | None:
    """Say which readings to repeat so that a derived size is no longer too close to call.

    Parameters
    ----------
    title
        What the size belongs to, as the sentence begins: "Bearing 3".
    weights
        Place and its weight in the size.
    names
        Place and what people call it: "bore", "journal".
    readings
        All readings of the job.
    bench
        The instruments and the habit of hands.
    limit
        The range that the size must keep.
    within_from
        The least chance of conforming that is called within. [0 to 1]
    outside_to
        The greatest chance of conforming that is called outside. [0 to 1]

    Returns
    -------
    Advice or None
        None if the verdict is settled already.

    Notes
    -----
    The same number of further readings is asked of each place, because a crew reads them in
    turn; the fewest that settle the verdict if the means stay where they are. A mean seldom
    stays: `settles` says how often that many will do, the value being as uncertain as it is.
    """
    now = estimate(weights, readings, bench, limit.unit)
    said = verdict(now.value, now.u, limit, within_from, outside_to)
    if said.verdict is not Verdict.TOO_CLOSE:
        return None
    for more in range(1, _MOST + 1):
        then = estimate(weights, [*readings, *_more(now, readings, more)], bench, limit.unit)
        next_said = verdict(now.value, then.u, limit, within_from, outside_to)
        if next_said.verdict is not Verdict.TOO_CLOSE:
            each = " each" if len(weights) > 1 else ""
            parts = " and ".join(names[place] for place in weights)
            return Advice(
                sentence=(
                    f"{title}: read {parts} {_TIMES[more]} more{each}. "
                    f"If the means stay, ± {show(2 * then.u, limit.unit, now.step)} and "
                    f"{chance_in_words(next_said.chance)}: {next_said.verdict}."
                ),
                more=more,
                u_then=then.u,
                chance_then=next_said.chance,
                verdict_then=next_said.verdict,
                settles=_settles(now, then.u, limit, within_from, outside_to),
            )
    then = estimate(weights, [*readings, *_more(now, readings, _MOST)], bench, limit.unit)
    return Advice(
        sentence=f"{title}: {_no_use(now, then, limit, within_from)}",
        more=0,
        u_then=then.u,
        chance_then=said.chance,
        verdict_then=said.verdict,
        settles=_settles(now, then.u, limit, within_from, outside_to),
    )


def _more(now: Estimate, readings: Sequence[Reading], count: int) -> list[Reading]:
    """Return readings to come: the same hands and instruments, at the means of now."""
    made = []
    for place, mean in now.means.items():
        last = [reading for reading in readings if reading.place == place][-1]
        quantity = Quantity(text="", value=mean, unit=now.unit, resolution=now.step)
        made += [replace(last, id=f"{last.id}+{n}", quantity=quantity) for n in range(count)]
    return made


def _settles(
    now: Estimate, u_then: float, limit: Limit, within_from: float, outside_to: float
) -> float:
    """Return the chance that the next mean falls where the verdict is settled."""
    spread = math.sqrt(max(now.u**2 - u_then**2, 0.0))
    if spread == 0:
        return 0.0
    steps = 4000  # the midpoint rule: the integrand is cut off where the verdict turns
    hit = 0.0
    width = 12 / steps
    for number in range(steps):
        z = -6 + (number + 0.5) * width
        said = verdict(now.value + z * spread, u_then, limit, within_from, outside_to)
        if said.verdict is not Verdict.TOO_CLOSE:
            hit += math.exp(-z * z / 2)
    return hit * width / math.sqrt(2 * math.pi)


def _no_use(now: Estimate, then: Estimate, limit: Limit, within_from: float) -> str:
    shared = [source for source in now.sources if not source.name.startswith("reading of ")]
    worst = max(shared, key=lambda source: source.u, default=None)
    if sure_range(then.u, limit, within_from) is None:
        return (
            f"reading more often cannot settle it. ± {show(2 * then.u, limit.unit, now.step)} is "
            f"too wide for a limit of {limit}. Use a finer instrument."
        )
    if worst is not None and worst.u > 0.5 * then.u:
        kind, _, whose = worst.name.partition(" of ")
        act = {
            "zero": f"set {whose} again and read once more",
            "setting": f"set {whose} again and read once more",
            "calibration": f"have {whose} checked, or use another",
            "hand": "let a second pair of hands read it",
        }[kind]
        return (
            f"reading more often cannot settle it: the {worst.name} alone is "
            f"± {show(2 * worst.u, limit.unit, now.step)}. For more, {act}."
        )
    return (
        "it lies on the limit itself, and no number of readings will move it. "
        "The teacher decides, and writes down why."
    )
