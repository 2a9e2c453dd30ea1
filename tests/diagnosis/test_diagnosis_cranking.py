"""The cranking decision table of a service manual, as a diagnosis."""

import pytest

from diagnosis.fan_book import read
from diagnosis.sheets_shipped import circuit
from witnessmark.diagnosis.find import find_run
from witnessmark.diagnosis.kinds import EVERYTHING
from witnessmark.diagnosis.observations import Observation, TestReading
from witnessmark.quantities import parse

CONTROL = {"F1", "S1", "S2", "W3", "C3"}
MANUAL = "service manual, cranking decision by volts and current; seen"


def volts(text):
    return read("A", text, state="crank", present=True)


def amps(text):
    return TestReading(
        id=text, kind="clamp", part="W1", state="crank", text=text,
        quantity=parse(text, "A"), present=True,
    )  # fmt: skip


def groups_after(complaint, *readings):
    """Belief in the battery, the starter, the feed with its ground, and the control circuit."""
    seen = [Observation(complaint=complaint, source="here")]
    found = find_run(circuit("starting.toml"), seen, readings, means=EVERYTHING)
    groups = dict.fromkeys(("battery", "starter", "feed", "control"), 0.0)
    for share in found.belief:
        if len(share.parts) != 1:
            continue
        if share.part in CONTROL or share.key == "K1:coil-open":
            groups["control"] += share.share
        else:
            groups[{"BAT": "battery", "M1": "starter"}.get(share.part, "feed")] += share.share
    return groups


@pytest.mark.reference(MANUAL)
def test_below_9_6_v_it_is_neither_the_feed_nor_the_control_circuit():
    """The manual then looks at starter and engine; it takes a tested battery for granted."""
    groups = groups_after("slow", volts("9.2"))

    assert groups["feed"] + groups["control"] < 0.1


@pytest.mark.reference(MANUAL)
def test_above_9_6_v_with_a_low_current_it_is_the_feed_circuit():
    groups = groups_after("slow", volts("12.1"), amps("80 A"))

    assert groups["feed"] > max(groups["battery"], groups["control"], groups["starter"])
    assert groups["battery"] + groups["control"] < 0.05


@pytest.mark.reference(MANUAL)
def test_12_5_v_and_no_turn_point_to_the_control_circuit():
    groups = groups_after("no-crank", volts("12.5"))

    assert groups["control"] > max(groups["battery"], groups["feed"], groups["starter"])
    assert groups["battery"] < 0.05


@pytest.mark.reference(MANUAL)
def test_a_high_voltage_and_a_very_slow_turn_point_to_the_feed_circuit():
    """This sheet's battery rests at 12.6 V: 12.4 V is as little below it as the manual's 12.5."""
    groups = groups_after("slow", volts("12.4"))

    assert groups["feed"] > max(groups["battery"], groups["control"], groups["starter"])
    assert groups["battery"] < 0.05
