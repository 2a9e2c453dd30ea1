"""Parts and faults that cannot be, names of pieces, and circuits that are not for a class."""

import pytest

from networks.every_kind import every_kind, selector, solenoid
from networks.made_circuits import battery, circuit, resistor
from networks.made_circuits import two_ends as part
from witnessmark.errors import BenchError
from witnessmark.networks import (
    Kind,
    fault_modes,
    make_part,
    parse_fault,
    pieces_of,
)


@pytest.mark.parametrize(
    ("made", "said"),
    [
        (lambda: selector("S1", {"B": "A"}, {"off": ()}), "1 terminals and 1 positions"),
        (
            lambda: selector("S1", {"B": "A", "L": "C"}, {"off": (), "on": ("B-X",)}),
            "joins 'B-X'",
        ),
        (lambda: part(Kind.MOTOR, "M", "A", "0", armature=2.0, volts=12.0, amps=8.0), "held still"),
        (lambda: solenoid(drops_out=9.0), "drops out at 9 V"),
        (lambda: resistor("R", "A", "A", 1.0), "Both ends of R"),
        (lambda: resistor("R", "A", "B", float("nan")), "'resistance'"),
        (lambda: resistor("R", "A", "B", -1.0), "'resistance'"),
    ],
)
def test_a_part_that_cannot_be_is_refused(made, said):
    with pytest.raises(BenchError, match=said):
        made()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("S3:stuck-open", "fail one by one: B-L, B-H"),
        ("S3.B-X:high=1", "has no contact 'B-X'"),
        ("K3.contact:high=1", "Its contacts are: rest"),
        ("F1.rest:blown", "none that fail by themselves"),
        ("W1:short-to-ground=-1", "more than 0"),
    ],
)
def test_a_fault_of_what_is_not_there_is_refused(text, said):
    with pytest.raises(BenchError, match=said):
        parse_fault(text, every_kind())


def test_every_fault_of_every_kind_is_written_and_read_back():
    made = every_kind()
    for mode in fault_modes(made):
        for fault in mode.faults:
            assert parse_fault(str(fault), made).key == fault.key


def test_pieces_have_names_of_their_own():
    names = [piece.name for piece in pieces_of(every_kind())]
    assert len(set(names)) == len(names)
    assert {"S3.B-L", "S3.B-H", "K3.coil", "K3.contact", "K3.rest", "K3.diode"} <= set(names)
    assert {"G1.output", "G1.lamp", "G1.field"} <= set(names)


@pytest.mark.parametrize(
    ("emf_v", "hazard"), [(12.6, ""), (48.0, ""), (60.0, ""), (60.1, "high voltage")]
)
@pytest.mark.reference(
    "HSE guidance reprinted in a trade magazine: over 60 V dc is high voltage; seen"
)
def test_above_60_volts_a_circuit_is_called_high_voltage(emf_v, hazard):
    made = circuit(battery(emf_v), resistor("R", "A", "0", 10.0))
    assert made.hazard == hazard


def test_batteries_in_series_add_up_and_a_restraint_circuit_says_so():
    two = circuit(
        battery(48.0, name="B1"),
        battery(48.0, name="B2", plus="C", minus="A"),
        resistor("R", "C", "0", 10.0),
    )
    assert two.hazard == "high voltage"
    bags = circuit(battery(12.0), resistor("R", "A", "0", 2.0), is_restraint=True)
    assert bags.hazard == "restraint"


def test_a_part_without_its_sizes_is_refused_with_what_it_needs():
    with pytest.raises(BenchError, match=r"F1 has no sizes.*A fuse is told by .*rating"):
        make_part("F1", Kind.FUSE, {"from": "A", "to": "B"}, {"ohmz": 1.0})
