"""How the review compares two paths: true whoever is quicker, and fair to whoever took one."""

from dataclasses import replace

import pytest

from diagnosis.test_diagnosis_practice_review import GROUND, STRAIGHT, reviewed
from witnessmark.diagnosis.path_compared import compared_words
from witnessmark.diagnosis.practice_review import RIGHT

NAMED = ("G7:high", "clean ground joint G7")
WRONG = ("Fan:high", "replace Fan")
NO_MORE = "The best path knew no more than you did when it began."


def test_whoever_proves_the_cause_sooner_is_told_by_how_much():
    found = reviewed(GROUND, ["volts F state=run"], *NAMED)
    assert found.verdict == RIGHT and found.minutes < found.best_minutes
    less = found.best_minutes - found.minutes
    assert compared_words(found, is_own=True) == (
        f"You needed {less:g} minutes less than the best path. It is chosen to be quick on the "
        "whole, whatever is hidden; with this fault your path was quicker."
    )
    assert compared_words(found, is_own=False).startswith(f"The learner needed {less:g} minutes")


@pytest.mark.parametrize(
    ("keys", "ends", "said"),
    [
        ([], NAMED, "No test was done, so there are no minutes to compare."),
        (["look G7"], NAMED, "shorter only because it ends before the readings prove the cause."),
        (["look G7"], WRONG, "Your path is shorter, but another cause was named at its end."),
        (["look G7"], ("", ""), "Your path is shorter, but no cause was named at its end."),
        (["volts F state=run"], ("", ""), "Your path is shorter, but no cause was named"),
        (STRAIGHT, NAMED, NO_MORE),
        (STRAIGHT, WRONG, NO_MORE),
        (["jumper G7 state=run"], NAMED, "The best path does without a jumper lead"),
    ],
)
def test_a_path_that_proved_nothing_is_not_called_quicker(keys, ends, said):
    words = compared_words(reviewed(GROUND, keys, *ends), is_own=True)
    assert said in words and "quicker" not in words and words.endswith(".")


def test_a_path_as_long_as_the_best_one_and_one_that_alone_has_a_proof_are_told_so():
    found = reviewed(GROUND, ["volts F state=run"], *NAMED)
    equal = replace(found, best_minutes=found.minutes)
    assert compared_words(equal, is_own=True) == "Your path was as quick as the best one."
    alone = replace(found, best_proved=False)
    assert compared_words(alone, is_own=False) == (
        "This path proved the cause; the best path ends without a proof."
    )
