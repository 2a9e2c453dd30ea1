"""What a learner expects is taken as a person says it, and nonsense is answered in a sentence."""

import pytest

from diagnosis.sheets_shipped import circuit
from witnessmark.diagnosis.expecting import NotExpectable, expected_said
from witnessmark.diagnosis.observations import parse_test_key

FAN = circuit("fan.toml")
VOLTS, LAMP, OHMS, CLAMP = "volts E state=run", "lamp E state=run", "ohms K3", "clamp W1 state=run"


def said(key, typed):
    return expected_said(FAN, parse_test_key(key), typed)


@pytest.mark.parametrize(
    ("key", "typed", "kept"),
    [
        (VOLTS, "12,4", "12,4 V"),
        (VOLTS, " 12.4 V ", "12.4 V"),
        (VOLTS, "12.4V", "12.4V"),
        (VOLTS, "about 12", "about 12 V"),
        (VOLTS, "About 12 volts", "About 12 volts"),
        (VOLTS, "~3", "~3 V"),
        (VOLTS, "12 or so", "12 V or so"),
        (VOLTS, "a bit less than 1", "a bit less than 1 V"),
        (VOLTS, "0.2 ?", "0.2 V ?"),
        (VOLTS, "between roughly 0.1 and almost 0.3", "between roughly 0.1 and almost 0.3 V"),
        (VOLTS, "11 to 12", "11 to 12 V"),
        (VOLTS, "11-12", "11-12 V"),
        (VOLTS, "0 to 200 mV", "0 to 200 mV"),
        (VOLTS, "11 V to 12 V", "11 V to 12 V"),
        (VOLTS, "between 11V and 12V", "between 11V and 12V"),
        (VOLTS, "500 mV to 1 V", "500 mV to 1 V"),
        (VOLTS, "-0.1", "-0.1 V"),
        (OHMS, "80", "80 Ω"),
        (OHMS, "1.2 kΩ", "1.2 kΩ"),
        (OHMS, "Open", "open (OL)"),
        (OHMS, "OL", "open (OL)"),
        (CLAMP, "8", "8 A"),
        (LAMP, "Lit", "lit"),
        ("look F12", "sound", "sound to the eye"),
        ("swap F12 state=run", "no change", "no change with the good part"),
    ],
)
def test_it_is_taken_as_a_person_says_it(key, typed, kept):
    assert said(key, typed) == kept


@pytest.mark.parametrize(
    ("key", "typed", "words"),
    [
        (VOLTS, " ", "It does not say what you expect"),
        (VOLTS, "abc", "“abc” is no number of volts"),
        (VOLTS, "about", "“about” is no number of volts"),
        (VOLTS, "lit", "“lit” is no number of volts"),
        (VOLTS, "3 A", "“3 A” is no number of volts"),
        (VOLTS, "1 to 2 to 3", "is no number of volts"),
        (VOLTS, "nan", "is no number of volts"),
        (VOLTS, "1200", "1200 V is far too much here. This circuit has a supply of 12.6 V."),
        (VOLTS, "2 to 1200 V", "2 to 1200 V is far too much here"),
        (VOLTS, "-1200 V", "-1200 V is far too much here"),
        (OHMS, "-3", "“-3” is below 0"),
        (CLAMP, "8000", "8000 A is far too much here. No fault on this sheet gives more than"),
        (LAMP, "12 V", "Choose “dark”, “dim” or “lit”"),
        ("look F12", "abc", "“abc” is not what this test shows"),
    ],
)
def test_nonsense_is_answered_in_a_sentence(key, typed, words):
    with pytest.raises(NotExpectable, match=words):
        said(key, typed)


@pytest.mark.second_way("every part's healthy current and volts, said as they are solved")
@pytest.mark.parametrize("name", ["fan.toml", "starting.toml", "horn.toml"])
def test_what_is_right_is_never_refused(name):
    from witnessmark.networks import solve

    sheet = circuit(name)
    found = solve(sheet)
    for number, state in enumerate(found.states):
        for point in sheet.lettered:
            volts = found.volts[0, number, found.points.index(point.key)]
            test = parse_test_key(f"volts {point.letter} state={state}")
            assert expected_said(sheet, test, f"{volts:.2f}") == f"{volts:.2f} V"
        for piece, amps in zip(found.pieces, found.currents[0, number], strict=True):
            if "." not in piece:
                test = parse_test_key(f"clamp {piece} state={state}")
                assert expected_said(sheet, test, f"{abs(amps):.1f}").endswith(" A")
