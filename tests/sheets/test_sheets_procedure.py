from importlib import resources

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from witnessmark.errors import SheetError
from witnessmark.metrology import Verdict, verdict
from witnessmark.sheets.procedure import read_procedure
from witnessmark.sheets.procedure_text import write_procedure
from witnessmark.work.check import Shop, check_procedure
from witnessmark.work.limit_text import limit_from_text
from witnessmark.work.step_json import step_from_json, step_to_json
from witnessmark.work.steps import (
    Advice,
    Closing,
    Hold,
    How,
    Measurement,
    OffItem,
    OnItem,
    Phase,
    PhotoNeed,
    Procedure,
    Step,
    StepKind,
)

FOLDER = resources.files("witnessmark.examples") / "procedures"
EXAMPLES = sorted(file.name for file in FOLDER.iterdir() if file.name.endswith(".toml"))
SHORT = """[procedure]
key = "joint"
title = "Ground joint"
source = "invented"

[[steps]]
key = "fit"
title = "Fit strap"
minutes = 10
hold = "hold"
people = 2
[[steps.measure]]
key = "torque"
what = "Stud nut"
unit = "Nm"
limit = "11 to 13 N·m"
source = "invented"
[[steps.off]]
key = "bolt"
what = "Bolt"
quantity = 6
"""


def mistakes(text):
    with pytest.raises(SheetError) as caught:
        read_procedure(text, "joint.toml")
    return [(one.line, one.found) for one in caught.value.mistakes]


def test_a_short_procedure_is_read():
    procedure = read_procedure(SHORT, "joint.toml")
    [step] = procedure.steps

    assert (procedure.title, procedure.minutes) == ("Ground joint", 10)
    assert (step.hold, step.people_min, step.people_max) == (Hold.HOLD, 2, 2)
    assert step.measurements[0].limit.upper == 13
    assert step.off == (OffItem(key="bolt", what="Bolt", quantity="6"),)


@pytest.mark.parametrize(
    ("old", "new", "mistake"),
    [
        ("minutes = 10", "minutes = 0", (6, "Step “Fit strap” takes 0 min.")),
        ("minutes = 10\n", "", (6, "“Fit strap” has no 'minutes'.")),
        ("minutes = 10", "minutes = true", (9, "'minutes' of “Fit strap” is True.")),
        ("minutes = 10", "minuets = 10", (9, "Nothing here is called 'minuets'.")),
        ('hold = "hold"', 'hold = "stop"', (10, "'hold' of “Fit strap” is “stop”.")),
        ("people = 2", 'people = "3 to 2"', (11, "'people' of “Fit strap” is “3 to 2”.")),
        ('unit = "Nm"', 'unit = "cubit"', (15, None)),
        ("11 to 13 N·m", "11 to 13 mm", (16, None)),
        ("11 to 13 N·m", "about 12", (16, "“about 12” is no limit.")),
        ("11 to 13 N·m", "13 to 11", (16, None)),
        ("quantity = 6", "quantity = 0", (18, "The quantity is “0”.")),
        ("quantity = 6", "quantity = 1.5", (21, "'quantity' of “Bolt” is 1.5.")),
        ('key = "bolt"', 'key = "My Bolt"', (19, "The key is “My Bolt”.")),
        ('title = "Fit strap"', 'title = ""', (8, "'title' of “fit” is empty.")),
    ],
)
def test_a_mistake_is_named_with_its_line(old, new, mistake):
    assert old in SHORT
    found = mistakes(SHORT.replace(old, new))

    line, words = mistake
    assert line in [at for at, _ in found]
    if words:
        assert mistake in found


def test_all_mistakes_are_told_at_once_in_the_order_of_their_lines():
    text = SHORT.replace("minutes = 10", 'minutes = "ten"').replace("11 to 13 N·m", "12ish")

    assert [line for line, _ in mistakes(text)] == [9, 16]


def test_two_steps_with_one_key_are_a_mistake():
    twice = SHORT + '\n[[steps]]\nkey = "fit"\ntitle = "Again"\nminutes = 5\n'

    assert (24, "The key “fit” stands on line 7 already.") in mistakes(twice)


@pytest.mark.parametrize(
    "text", ["", "[procedure]\n", 'key = "x"', "[[steps]]\n", "steps = 3", "[procedure]\nkey=1"]
)
def test_what_is_no_procedure_is_refused_in_words(text):
    assert all(found.endswith((".", "?")) for _, found in mistakes(text))


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_example_has_nothing_to_mend_and_says_that_it_is_invented(name):
    procedure = read_procedure((FOLDER / name).read_text(), name)

    assert check_procedure(procedure, Shop(longest_period_min=70)) == ()
    assert procedure.source == "invented for the demo"
    assert {one.source for step in procedure.steps for one in step.measurements} <= {
        "invented for the demo"
    }
    assert any(step.is_hold for step in procedure.steps)
    assert procedure.advice


def test_the_four_examples_are_there():
    assert EXAMPLES == [
        "brake-shoes-drum.toml",
        "cam-bearings-training-six.toml",
        "ground-joint-clean-and-prove.toml",
        "water-pump-inline-engine.toml",
    ]


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_example_written_and_read_again_is_the_same(name):
    procedure = read_procedure((FOLDER / name).read_text(), name)

    assert read_procedure(write_procedure(procedure), name) == procedure
    assert all(step_from_json(step_to_json(step)) == step for step in procedure.steps)


WORDS = st.text(
    st.characters(codec="utf-8", exclude_categories=("Cs", "Cc")), min_size=1, max_size=20
).filter(str.strip)
KEYS = st.from_regex(r"[a-z0-9][a-z0-9-]{0,8}", fullmatch=True)
NAMES = st.lists(WORDS, max_size=3).map(tuple)
STEPS = st.builds(
    Step,
    key=KEYS,
    title=WORDS,
    minutes=st.integers(1, 90),
    kind=st.sampled_from(StepKind),
    hold=st.sampled_from(Hold),
    hold_min=st.integers(0, 20),
    needs=NAMES,
    covers=NAMES,
    instructions=NAMES,
    operations=NAMES,
    cautions=NAMES,
    measurements=st.lists(
        st.builds(
            Measurement,
            key=KEYS,
            what=WORDS,
            unit=st.sampled_from(["mm", "V", "N·m"]),
            limit_text=st.sampled_from(["", "1 to 2", "at least 1.5", "at most 0.1"]),
            source=WORDS,
            phase=st.sampled_from(Phase),
            instrument=WORDS,
            positions=NAMES,
        ),
        max_size=2,
    ).map(tuple),
    photos=st.lists(st.builds(PhotoNeed, key=KEYS, what=WORDS), max_size=2).map(tuple),
    off=st.lists(
        st.builds(
            OffItem,
            key=KEYS,
            what=WORDS,
            how=st.sampled_from(How),
            quantity=st.integers(1, 99).map(str),
            one_use=st.booleans(),
        ),
        max_size=2,
    ).map(tuple),
    on=st.lists(
        st.builds(
            OnItem,
            key=KEYS,
            kind=st.sampled_from(Closing),
            quantity=st.sampled_from(["", "2", "0.4 L"]),
        ),
        max_size=2,
    ).map(tuple),
    people_min=st.integers(1, 2),
    people_max=st.integers(2, 4),
    skills=NAMES,
    permits=NAMES,
    tools=NAMES,
    practice=NAMES,
    wait_after_min=st.integers(0, 900),
)
PROCEDURES = st.builds(
    Procedure,
    key=KEYS,
    title=WORDS,
    source=WORDS,
    about=WORDS,
    steps=st.lists(STEPS, min_size=1, max_size=3, unique_by=lambda one: one.key).map(tuple),
    advice=st.lists(st.builds(Advice, key=KEYS, text=WORDS), max_size=2).map(tuple),
)


@settings(max_examples=40, deadline=None)
@given(PROCEDURES)
def test_any_procedure_written_and_read_again_is_the_same(procedure):
    assert read_procedure(write_procedure(procedure), "any.toml") == procedure


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=60), st.integers(0, len(SHORT)), st.integers(0, 30))
def test_a_spoilt_text_is_read_or_refused_in_words(more, at, cut):
    text = SHORT[:at] + more + SHORT[at + cut :]
    try:
        read_procedure(text, "spoilt.toml")
    except SheetError as error:
        assert all(one.found and one.needed and one.do for one in error.mistakes)


@pytest.mark.parametrize(
    ("text", "unit", "lower", "upper"),
    [
        ("24 to 26 N·m", "N·m", 24, 26),
        ("24 N·m to 26 N·m", "N·m", 24, 26),
        ("25 ± 1 N·m", "N·m", 24, 26),
        ("at least 1 cm", "mm", 10, None),
        ("at most 1,5 mm", "mm", None, "1.5"),
        ("−5 to 5", "mm", -5, 5),
    ],
)
def test_a_limit_is_read_as_people_write_it(text, unit, lower, upper):
    limit = limit_from_text(text, unit, "invented")

    assert limit.lower == (None if lower is None else pytest.approx(float(lower)))
    assert limit.upper == (None if upper is None else pytest.approx(float(upper)))
    assert str(limit) == text


def test_the_limit_of_a_measurement_judges_a_reading():
    procedure = read_procedure(SHORT, "joint.toml")
    limit = procedure.steps[0].measurements[0].limit

    assert verdict(12, 0, limit).verdict is Verdict.WITHIN
    assert verdict(14, 0, limit).verdict is Verdict.OUTSIDE
