"""The example sheets spoilt at random: the reader answers with a circuit or with its own error.

What it takes is then solved and checked like any other sheet.
"""

import math

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from networks.made_circuits import SHEETS
from witnessmark.diagnosis.healthy import check_healthy
from witnessmark.errors import SheetError
from witnessmark.sheets.circuit import read_circuit
from witnessmark.sheets.circuit_draft import Draft, read_draft, write_draft
from witnessmark.sheets.circuit_look import look_through

TEXTS = {path.stem: path.read_text("utf-8") for path in SHEETS}
SIGNS = st.text(st.sampled_from(list("[]{}=\"'#.,\n\\ 0-9eéΩ名\x00\ufeff")), max_size=4)
WORDS = st.sampled_from(
    ["", "0", "A", "battery −", "-1 V", "NaN", "1e400", "0 ohm", "1200 V", "名前", "K3", "S2", "12"]
)
ODD = (
    WORDS
    | st.integers(-(10**20), 10**20)
    | st.floats()
    | st.booleans()
    | st.lists(WORDS, max_size=3)
    | st.dictionaries(WORDS, WORDS | st.lists(WORDS, max_size=2), max_size=3)
)


def answered(text):
    """Read a text; what it is read as is checked too."""
    try:
        circuit = read_circuit(text, "spoilt.toml")
    except SheetError as error:
        assert error.mistakes
        for mistake in error.mistakes:
            assert mistake.found.strip() and mistake.needed.strip() and mistake.do.strip()
            assert 0 <= mistake.line <= text.count("\n") + 1
        return None
    healthy = check_healthy(circuit)
    assert [state.state for state in healthy.states] == [state.name for state in circuit.states]
    assert not any("nan" in sentence for state in healthy.states for sentence in state.sentences)
    return circuit


@settings(max_examples=150, suppress_health_check=[HealthCheck.too_slow], deadline=None)
@given(st.sampled_from(sorted(TEXTS)), st.data())
def test_a_text_spoilt_at_random_places(name, data):
    text = TEXTS[name]
    for _ in range(data.draw(st.integers(1, 4))):
        start = data.draw(st.integers(0, len(text)))
        end = min(len(text), start + data.draw(st.sampled_from([0, 1, 3, 40])))
        text = text[:start] + data.draw(SIGNS) + text[end:]
    answered(text)


@settings(max_examples=150, suppress_health_check=[HealthCheck.too_slow], deadline=None)
@given(st.sampled_from(sorted(TEXTS)), st.data())
def test_lines_moved_doubled_or_left_out(name, data):
    lines = TEXTS[name].splitlines()
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(lines) - 1))
        match data.draw(st.sampled_from(["out", "twice", "moved"])):
            case "out":
                del lines[at]
            case "twice":
                lines.insert(at, lines[at])
            case _:
                lines.insert(data.draw(st.integers(0, len(lines) - 1)), lines.pop(at))
    answered("\n".join(lines))


@settings(max_examples=300, suppress_health_check=[HealthCheck.too_slow], deadline=None)
@given(st.sampled_from(sorted(TEXTS)), st.data())
def test_entries_spoilt_one_by_one_are_read_or_told_and_never_lost(name, data):
    typed = dict(read_draft(TEXTS[name], name).data)
    for _ in range(data.draw(st.integers(1, 3))):
        table = data.draw(st.sampled_from(["circuit", "points", "access", "parts", "states"]))
        found = typed.get(table)
        if isinstance(found, list) and found:
            found = data.draw(st.sampled_from(found))
        if not isinstance(found, dict) or not found:
            continue
        key = data.draw(st.sampled_from(sorted(found)) | WORDS)
        found[key] = data.draw(ODD)
    text = write_draft(Draft(data=typed))
    circuit = answered(text)
    looked = look_through(read_draft(text, name))
    if circuit is not None:
        assert looked.circuit == circuit
    assert (looked.circuit is None) == bool(looked.notes)


@pytest.mark.parametrize("name", sorted(TEXTS))
def test_an_example_cut_off_at_any_line_is_read_or_told(name):
    lines = TEXTS[name].splitlines()
    for count in range(0, len(lines), 3):
        answered("\n".join(lines[:count]))


def test_two_batteries_that_push_into_each_other_are_worked_out_and_told():
    text = TEXTS["fan"].replace(
        '[[parts]]\nname = "F12"',
        '[[parts]]\nname = "BAT2"\nkind = "battery"\nplus = "A"\nminus = "battery −"\n'
        'emf = "24 V"\ninside = "0.000001 ohm"\n\n[[parts]]\nname = "F12"',
        1,
    )
    circuit = answered(text)
    assert circuit is not None
    assert any("BAT2" in notice.sentence for notice in check_healthy(circuit).notices)


def test_a_sheet_of_two_thousand_parts_is_told_in_one_sentence():
    part = '[[parts]]\nname = "W{}"\nkind = "wire"\nfrom = "A"\nto = "B"\nohms = "1 ohm"\n'
    text = TEXTS["fan"] + "".join(part.format(number) for number in range(2000, 4000))
    with pytest.raises(SheetError) as caught:
        read_circuit(text, "long.toml")
    assert any("more than 400 parts" in one.found for one in caught.value.mistakes)
    assert math.isfinite(caught.value.mistakes[0].line)
