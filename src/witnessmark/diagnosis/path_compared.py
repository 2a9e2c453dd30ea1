"""What the minutes of a learner's path say beside those of the best one, and what they do not."""

from typing import Final

from witnessmark.diagnosis.kinds import JUMPER
from witnessmark.diagnosis.minutes import said_minutes
from witnessmark.diagnosis.observations import parse_test_key
from witnessmark.diagnosis.practice_review import GIVEN_UP, WRONG, Review

SAME_MIN: Final = 0.25  # half of the least step in minutes: nearer, two paths are as long


def compared_words(found: Review, is_own: bool) -> str:
    """Return how a path compares with the best one, fairly to whoever took it.

    Parameters
    ----------
    found
        The review.
    is_own
        Whether the one who reads it took the path.

    Notes
    -----
    A path that ended before the cause was proved is no quicker than one that goes on until it is.
    One that proved it sooner is: the best path is chosen for whatever may be hidden, not for this
    fault alone.
    """
    if not found.path:
        return "No test was done, so there are no minutes to compare."
    said = [_compared(found, is_own)]
    if any(parse_test_key(step.key).kind == JUMPER for step in found.path):
        said.append("The best path does without a jumper lead, which takes a permit.")
    return " ".join(said)


def _compared(found: Review, is_own: bool) -> str:
    you, yours, other = (
        ("You", "Your path", "you") if is_own else ("The learner", "This path", "the learner")
    )
    less = found.best_minutes - found.minutes
    if not found.proved:
        if less <= SAME_MIN:
            return f"The best path knew no more than {other} did when it began."
        if found.verdict == GIVEN_UP:
            return f"{yours} is shorter, but no cause was named at its end."
        if found.verdict == WRONG:
            return f"{yours} is shorter, but another cause was named at its end."
        return (
            f"{yours} is shorter only because it ends before the readings prove the cause. "
            "A wrong guess costs more minutes than the tests that it spares."
        )
    if not found.best_proved:
        return f"{yours} proved the cause; the best path ends without a proof."
    if less > SAME_MIN:
        return (
            f"{you} needed {said_minutes(less)} less than the best path. It is chosen to be quick "
            f"on the whole, whatever is hidden; with this fault {yours.lower()} was quicker."
        )
    if less < -SAME_MIN:
        return f"The best path knew no more than {other} did when it began."
    return f"{yours} was as quick as the best one."
