"""A Find run on the fan circuit: advice, stop rule, proof, corrections, questioned readings."""

import json

import numpy as np
import pytest

from diagnosis.fan_book import SIDES, fan_book, read
from diagnosis.sheets_shipped import circuit as shipped
from witnessmark.diagnosis import observations as o
from witnessmark.diagnosis.facts import places
from witnessmark.diagnosis.find import find_run
from witnessmark.diagnosis.kinds import CLAMP_METER, EYES, GOOD_PART, METER, TEST_LAMP, Means
from witnessmark.diagnosis.observations import Observation, parse_test_key, reading_of
from witnessmark.diagnosis.run import run
from witnessmark.diagnosis.stop import ALONE, CERTAIN
from witnessmark.errors import BenchError
from witnessmark.quantities import parse

SLOW = Observation(complaint="slow")
STORY = [read("A", "12.5 V"), read("D", "12.2 V")]


def shares(result):
    return {share.key: share.share for share in result.belief}


@pytest.mark.reference("worked figures of the fan circuit, computed apart from this program")
def test_the_worked_story_ends_at_the_ground_joint():
    after_two = run(fan_book(), [SLOW], STORY, SIDES)
    # F costs two minutes more than E, but leaves less to tell apart.
    assert after_two.next_test.key == "volts F state=run"
    assert after_two.elsewhere.sentence == "Measure volts at E, motor −, with the fan running."
    assert after_two.parts["G7"] == pytest.approx(0.545, abs=0.02)

    after_three = run(fan_book(), [SLOW], [*STORY, read("E", "2.9")], SIDES)
    assert after_three.parts["G7"] == pytest.approx(0.75, abs=0.01)
    assert after_three.parts["S9"] == pytest.approx(0.25, abs=0.01)
    assert after_three.next_test.key == "volts F state=run"

    end = run(fan_book(), [SLOW], [*STORY, read("E", "2.9"), read("F", "2.9")], SIDES)
    assert end.stop.kind == "cause"
    assert end.stop.parts == ("G7",)
    assert end.next_test is None


@pytest.mark.reference("worked figures of the fan circuit: 1.4 to 5.2 V and 0.10 to 0.15 V at E")
def test_the_why_names_both_sides_and_what_they_would_read():
    advice = run(fan_book(), [SLOW], STORY, SIDES).elsewhere

    assert advice.why.startswith("Why: healthy is 0.2 V there, and Fan (worn) would read the same.")
    assert " A bad ground path, G7 or S9, would read 1.4 to 5." in advice.why
    ground, fan = advice.meanings
    assert (ground.points_to, ground.is_healthy) == ("a bad ground path, G7 or S9", False)
    assert (fan.points_to, fan.outcome, fan.is_healthy) == ("Fan (worn)", "0.1 V", True)
    assert advice.label == "Reading at E, black probe on battery negative"


def test_a_run_is_the_same_whenever_it_is_computed_and_survives_json():
    first, second = (run(fan_book(), [SLOW], STORY, SIDES) for _ in range(2))

    assert json.dumps(first.as_json()) == json.dumps(second.as_json())
    assert set(first.as_json()) >= {"belief", "next_test", "stop", "points", "proof"}


def test_the_proof_is_the_healthy_range_where_the_fault_was_far_off():
    result = run(fan_book(), [SLOW], [*STORY, read("E", "2.9"), read("F", "2.9")], SIDES)

    assert [proof.point for proof in result.proof] == ["F", "E"]  # D reads alike
    for proof in result.proof:
        healthy = next(p.healthy_v for p in result.points if p.letter == proof.point)
        assert proof.low_v <= healthy <= proof.high_v
        assert parse("2.9", "V").value > proof.high_v
        assert "with the fan running" in proof.sentence


def test_nothing_is_named_on_a_complaint_alone():
    sure = dict.fromkeys(("Fan", "S9", "K3", "C4", "F12"), 1e-6)
    result = run(fan_book(weights=sure | {"G7": 1000.0}), [SLOW], [], SIDES)

    assert result.belief[0].part == "G7"
    assert result.stop.kind != "cause"
    assert "nothing is measured yet" in result.stop.sentence


def test_it_never_closes_while_a_complaint_is_unexplained():
    readings = [*STORY, read("E", "2.9"), read("F", "2.9")]
    both = [SLOW, Observation(complaint="dead", source="customer")]
    result = run(fan_book(), both, readings, SIDES)

    assert result.belief[0].part == "G7"
    assert result.stop.kind != "cause"
    assert result.unexplained == ("fan is dead (told as dead; it would be weak)",)


def test_suspects_of_one_repair_need_no_telling_apart():
    readings = [*STORY, read("E", "2.9")]
    apart = run(fan_book(), [SLOW], readings, SIDES)
    together = run(
        fan_book(repairs={"G7": "ground path", "S9": "ground path"}), [SLOW], readings, SIDES
    )

    assert apart.stop.kind == "keep on"
    assert together.stop.kind == "cause"
    assert set(together.stop.parts) == {"G7", "S9"}


def test_a_reading_that_fits_nobody_is_questioned_and_asked_again():
    readings = [*STORY, read("B", "3.1"), read("E", "2.9"), read("F", "2.9")]
    result = run(fan_book(), [SLOW], readings, SIDES)

    assert result.questioned == ("B-3.1",)
    assert [r.questioned for r in result.readings] == [False, False, True, False, False]
    assert result.stop.parts == ("G7",)
    assert result.stop.kind == "keep on"
    assert "Take that reading again first" in result.stop.sentence
    assert result.next_test.key == "volts B state=run"
    again = read("B", "12.4")
    settled = run(fan_book(), [SLOW], [*readings, again], SIDES)
    assert settled.stop.kind == "cause"
    assert settled.next_test is None


def test_correcting_a_reading_is_as_if_the_first_had_never_been():
    wrong = run(fan_book(), [SLOW], [*STORY, read("E", "0.1")], SIDES)
    right = run(fan_book(), [SLOW], [*STORY, read("E", "2.9")], SIDES)

    assert wrong.belief[0].part == "Fan"
    assert right.belief[0].part == "G7"
    assert shares(right) == shares(run(fan_book(), [SLOW], [*STORY, read("E", "2.9")], SIDES))


def test_a_reading_taken_while_the_complaint_was_away_clears_nobody():
    away = [read("E", "0.18", present=False)]
    before, after = (run(fan_book(), [SLOW], readings).parts for readings in ([], away))

    for part, share in before.items():
        assert after[part] > 0.8 * share
    assert "clears nobody" in run(fan_book(), [SLOW], away).readings[0].note


def test_readings_that_fit_nothing_end_at_the_sheet():
    strange = [read("A", "7.0"), read("B", "3.0"), read("C", "9.0"), read("D", "2.0")]
    result = run(fan_book(), [SLOW], strange, SIDES)

    assert result.belief[0].key == "something else"
    assert result.stop.kind != "cause"
    assert "fit no suspect" in result.stop.sentence


def test_a_supply_a_little_low_is_no_fault():
    """Another battery, two per cent lower: the same story, and nobody is questioned."""
    low = [read("A", "12.24"), read("D", "11.95"), read("E", "2.84"), read("F", "2.84")]
    result = run(fan_book(), [SLOW], low, SIDES)

    assert result.stop.parts == ("G7",)
    assert result.questioned == ()


def test_a_point_out_of_reach_is_not_offered():
    result = run(fan_book(), [SLOW], STORY, SIDES, out_of_reach=["E"])

    assert result.next_test.point != "E"
    usual = run(fan_book(), [SLOW], STORY, SIDES)
    assert usual.elsewhere.point != usual.next_test.point


def test_a_test_that_is_done_is_not_offered_again():
    result = run(fan_book(), [SLOW], [*STORY, read("E", "2.9")], SIDES)

    assert result.next_test.point not in {"A", "D", "E"}


def test_setting_up_and_access_are_shared():
    first = run(fan_book(), [SLOW], [], SIDES).next_test
    later = run(fan_book(), [SLOW], STORY, SIDES).next_test

    assert (first.point, later.point) == ("E", "F")
    assert first.minutes == 2 + 2 + 1  # state, access, reading
    assert later.minutes == 4 + 1  # the state is set up already


def test_the_lamp_at_the_same_point_is_offered_instead():
    result = run(fan_book(lamp=True), [SLOW], STORY, SIDES)

    assert result.next_test.kind == "volts"
    assert result.lamp_instead.kind == "lamp"
    assert result.lamp_instead.point == result.next_test.point
    assert result.lamp_instead.sentence.startswith("Hold a test lamp from F, stud G7, to battery")
    assert result.lamp_instead.why.endswith("With G7 (high resistance) it would be dim.")


def test_a_lamp_moves_the_belief():
    dark = o.TestReading(id="1", kind="lamp", point="D", state="run", text="dark", outcome="dark")
    before = run(fan_book(lamp=True), [], []).parts
    after = run(fan_book(lamp=True), [], [dark]).parts

    assert after["G7"] < before["G7"]


def test_twins_are_named():
    book = fan_book(weights={"C4": 1.5})
    # A wire in series with the connector, without a point between: the same readings.
    result = run(book, [SLOW], [read("A", "12.5"), read("B", "12.4"), read("E", "0.1")])
    assert result.twins == ()
    alike = fan_book(weights={"C4": 1.5, "W": 1.5})
    result = run(alike, [SLOW], [read("A", "12.5"), read("C", "12.4"), read("D", "9.0")])

    assert [twins.parts for twins in result.twins] == [("C4", "W")]


def test_test_keys_come_back():
    for key in ("volts E state=run", "lamp AA to=B state=key on, headlamps off"):
        assert o.parse_test_key(key).key == key
    assert o.test_key("volts", "E", "run") == "volts E state=run"
    for wrong in ("", "volts", "volts E", "look E state=run", "volts E to= state=run", "a b c d"):
        with pytest.raises(BenchError, match="Choose the test"):
            o.parse_test_key(wrong)


@pytest.mark.parametrize(
    ("point", "text", "state", "words"),
    [
        ("Q", "12", "run", "The sheet has the points A, B"),
        ("A", "12", "off", "The sheet has the states run"),
        ("A", "1200", "run", "reading at A is 1200 V.*Check the scale of the meter"),
        ("A", "-30 V", "run", "reading at A is -30 V[.]"),
    ],
)
def test_a_reading_that_this_circuit_cannot_have_is_refused(point, text, state, words):
    with pytest.raises(BenchError, match=words):
        run(fan_book(), [SLOW], [read(point, text, state)])


def test_an_unknown_complaint_is_refused():
    with pytest.raises(BenchError, match="The sheet has the complaints slow, dead"):
        run(fan_book(), [Observation(complaint="loud")], [])


def test_ohms_are_no_volts():
    with pytest.raises(BenchError, match="must be volts"):
        o.TestReading(
            id="1", kind="volts", point="A", state="run", text="3 ohm", quantity=parse("3 ohm")
        )
    with pytest.raises(BenchError, match="lit, dim or dark"):
        o.TestReading(id="1", kind="lamp", point="A", state="run", text="on", outcome="on")


def test_millivolts_are_read_as_volts():
    milli = run(fan_book(), [SLOW], [*STORY, read("E", "110 mV")], SIDES)
    plain = run(fan_book(), [SLOW], [*STORY, read("E", "0.110 V")], SIDES)

    assert np.allclose(list(milli.parts.values()), list(plain.parts.values()), atol=1e-9)


def test_a_cause_that_is_left_alone_is_named_once_no_test_is_worth_its_minutes():
    """The wiper's ground: only 'something else' is left beside it, which predicts nothing."""
    wiper = shipped("wiper-park.toml")
    said = [Observation(complaint="slow")]
    lit = reading_of(parse_test_key("lamp K state=wipe"), id="lamp", text="", outcome="lit")
    one = find_run(wiper, said, [read("K", "8.26", state="wipe")])
    assert (one.belief[0].key, one.belief[1].key) == ("G1:high", "something else")
    assert one.belief[0].share < ALONE
    assert one.next_test.key == "lamp K state=wipe"
    assert "one more reading that shows it is wanted" in one.stop.sentence

    both = find_run(wiper, said, [read("K", "8.26", state="wipe"), lit])
    assert both.belief[1].share > 1 - CERTAIN
    assert both.stop.kind == "cause"
    assert "No other suspect is left, and no test is worth its minutes." in both.stop.sentence
    assert both.next_test is None and both.proof

    everywhere = [place.letter for place in places(wiper)]
    stuck = find_run(wiper, said, [read("K", "8.26", state="wipe")], everywhere)
    assert stuck.next_test is None
    assert stuck.stop.kind == "no test"
    assert stuck.stop.sentence.startswith("G1 is likely (89%), and no test on the sheet")


def test_a_cause_is_named_once_a_wrong_part_costs_less_than_the_next_test():
    """The alternator: one more reading of 5 minutes would spare less than 3."""
    charging = shipped("charging.toml")
    said = [Observation(complaint="lamp-on", source="here")]
    means = Means(tools=frozenset({METER, CLAMP_METER, EYES, TEST_LAMP, GOOD_PART}))
    key = parse_test_key("clamp W3 state=loaded")
    one = find_run(charging, said, [reading_of(key, id="1", text="7.10 A")], means=means)

    assert one.stop.kind == "cause"
    assert one.stop.repair == "replace ALT"
    assert ALONE <= one.stop.share < CERTAIN
    assert "No test left would spare more time than it takes." in one.stop.sentence
    # Further off what a dead alternator leaves to the battery, the next test is worth it.
    less = find_run(charging, said, [reading_of(key, id="1", text="6.90 A")], means=means)
    assert less.stop.kind == "keep on"
    assert less.belief[0].share < ALONE


def test_a_cause_without_a_complaint_explains_none():
    read = [
        reading_of(parse_test_key(key), id=key, text=text)
        for key, text in (("volts E state=run", "4.1"), ("volts E to=F state=run", "0.1"))
    ]
    found = find_run(shipped("fan.toml"), [], read)

    assert found.stop.kind == "cause"
    assert "explains every complaint" not in found.stop.sentence
