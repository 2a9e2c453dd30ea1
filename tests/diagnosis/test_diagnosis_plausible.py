"""A reading is asked about at its entry where no fault on the sheet could give it."""

from importlib.resources import files

import numpy as np
import pytest

from witnessmark.diagnosis.building import dictionary_of
from witnessmark.diagnosis.dictionary import HEALTHY
from witnessmark.diagnosis.observations import TestReading
from witnessmark.diagnosis.plausible import question_about, volts_question
from witnessmark.quantities import parse
from witnessmark.sheets.circuit import read_circuit

EXAMPLES = files("witnessmark.examples") / "circuits"
HABIT = "common practice, no published source"  # swapped probes show the same volts, below 0


def book(name="fan"):
    return dictionary_of(read_circuit((EXAMPLES / f"{name}.toml").read_text("utf-8"), name))


def volts(text, point="D", state="run", reference=""):
    return TestReading(
        id="new",
        kind="volts",
        point=point,
        state=state,
        reference=reference,
        text=text,
        quantity=parse(text, "V"),
    )


@pytest.mark.parametrize("text", ["12.2", "0", "-0.1", "12,9 V", "13.1", "900 mV", "3"])
def test_what_a_fault_may_give_is_not_asked_about(text):
    assert question_about(book(), volts(text)) is None


@pytest.mark.parametrize(("text", "said"), [("-3", "−3 V"), ("-12,2 V", "−12.2 V")])
def test_below_nothing_means_swapped_probes(text, said):
    question = question_about(book(), volts(text))

    assert question is not None
    assert question.found == f"{said} at D would mean the probes are swapped."
    assert question.do == "Swap them and read again, or enter it again to keep it."


@pytest.mark.reference(HABIT)
@pytest.mark.parametrize("text", ["2.9", "12.2", "9"])
def test_a_believable_reading_with_swapped_probes_is_told_as_that(text):
    assert question_about(book(), volts(text)) is None
    question = question_about(book(), volts(f"-{text}"))
    assert question is not None
    assert "swapped" in question.found


def test_above_the_battery_a_charger_is_asked_about():
    question = question_about(book(), volts("14.4"))

    assert question is not None
    assert question.found == "14.4 V at D is higher than any fault on this sheet gives."
    assert "charger" in question.do


def test_below_all_faults_but_above_nothing_the_point_is_asked_about():
    question = volts_question("A", 4.0, 0.1, np.array([10.2, 12.6]))

    assert question is not None
    assert question.found == "4.0 V at A is lower than any fault on this sheet gives."
    assert question.needed == "It reads 10.2 V to 12.6 V there, whatever is at fault."
    assert "Look at the point and the meter" in question.do


def test_between_two_points_less_than_nothing_may_be_right():
    turned = volts("-12.2", point="F", reference="A")

    assert question_about(book(), turned) is None
    question = question_about(book(), volts("12.2", point="F", reference="A"))
    assert question is not None
    assert question.found == "12.2 V at F against A is higher than any fault on this sheet gives."


def test_a_lamp_is_never_asked_about():
    lit = TestReading(id="new", kind="lamp", point="F", state="off", text="lit", outcome="lit")

    assert question_about(book(), lit) is None


@pytest.mark.parametrize("name", ["fan", "headlamps", "horn", "starting"])
def test_what_the_healthy_circuit_reads_is_never_asked_about(name):
    predicted = book(name)
    for state, setting in enumerate(predicted.settings):
        for at, place in enumerate(predicted.places):
            text = f"{predicted.solved.volts[HEALTHY, state, at]:.2f}"
            taken = volts(text, point=place.letter, state=setting.name)
            assert question_about(predicted, taken) is None
