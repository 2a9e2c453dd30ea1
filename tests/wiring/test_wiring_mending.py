"""The advice fits the repair: what is cleaned is not crimped, what is replaced is not sized."""

import pytest

from networks.made_circuits import sheet, two_ends
from witnessmark.errors import BenchError
from witnessmark.networks import Kind, solve
from witnessmark.wiring.carried import worst_carried
from witnessmark.wiring.joints import joint_rule
from witnessmark.wiring.mended import COMPARED, Mended, mended, proof_words, same_again
from witnessmark.wiring.mending import MENDINGS, mending, usual_mending

BOND = "AC 43.13-1B, 11-189: a bonding connection has 0.003 Ω at most, is cleaned of paint and film"


@pytest.mark.parametrize(
    ("part", "key"),
    [
        ("W1", "wire"),
        ("S3", "joint"),
        ("G1", "ground"),
        ("C1", "contact"),
        ("F4", "fuse"),
        ("L1", "lamp"),
        ("K5", "part"),
        ("S1", "part"),
    ],
)
def test_each_kind_of_part_has_its_own_repair(part, key):
    assert usual_mending(sheet("headlamps").part(part)).key == key


@pytest.mark.reference("three trade pages on fusible links: same gauge and length again; seen")
def test_a_fusible_link_is_never_answered_with_a_blade_fuse():
    link = two_ends(Kind.LINK, "FL1", "A", "B", size=2.0, length=0.15)
    one = usual_mending(link)
    assert one.key == "link" and not one.sizes_fuse
    assert "same gauge and the same length" in " ".join(one.steps)


def test_only_a_wire_and_a_splice_are_joined_and_only_a_wire_is_sized():
    assert {one.key for one in MENDINGS if one.makes_joint} == {"wire", "joint"}
    assert {one.key for one in MENDINGS if one.sizes_wire} == {"wire"}
    assert {one.key for one in MENDINGS if one.sizes_fuse} == {"wire", "fuse"}
    assert usual_mending(None).key == "wire"


@pytest.mark.reference(BOND)
def test_a_ground_is_cleaned_bright_protected_after_fastening_and_read_under_load():
    steps = " ".join(mending("ground").steps)
    for words in ("bright metal", "star washer", "maker", "after it is fastened", "Read the drop"):
        assert words in steps
    assert steps.index("Tighten") < steps.index("Protect it") < steps.index("Read the drop")
    assert "AC 43.13-1B" in str(mending("ground").sources[0])


@pytest.mark.parametrize("key", ["ground", "contact", "fuse", "lamp", "part"])
def test_what_is_not_joined_speaks_of_no_crimp_and_no_solder(key):
    one = mending(key)
    words = " ".join([one.answer, *one.steps, *(caution.text for caution in one.cautions)]).lower()
    assert "solder" not in words
    assert "flux" not in words
    if key != "contact":
        assert "crimp" not in words


@pytest.mark.reference("service manuals on checking terminal contact: no sandpaper; replace; seen")
def test_a_contact_is_cleaned_without_sandpaper_and_a_loose_terminal_is_replaced():
    steps = " ".join(mending("contact").steps)
    assert "No sandpaper" in steps and "replaced, not bent back" in steps


@pytest.mark.reference("pages on changing halogen lamps: same watts, no fingers on the glass; seen")
def test_a_lamp_is_replaced_by_the_same_watts():
    assert "same watts" in " ".join(mending("lamp").steps)
    lamp = sheet("headlamps").part("L1")
    # 55 W over 12 V, a power law that every handbook has
    assert same_again(lamp) == "By the sheet L1 left headlamp has 55 W at 12 V: 4.58 A."
    assert same_again(sheet("headlamps").part("K5")) == ""


@pytest.mark.second_way("Ohm's law by hand: 9.6 A over the 3 mΩ of the sheet")
def test_one_range_proves_a_cleaned_ground_and_the_healthy_sheet_is_in_it():
    made = sheet("headlamps")
    solved = solve(made)
    carried = worst_carried(made, solved, "G1")
    read = []

    def range_of(healthy_v):
        read.append(healthy_v)
        return 0.0, 0.09

    said = proof_words(made, solved, made.part("G1"), carried, range_of)
    assert read == [pytest.approx(9.6 * 0.003, rel=0.02)]
    assert said.startswith("After the repair the meter must read 0.00 to 0.09 V across G1 shared")
    assert "with headlamps and side lamp on: by the sheet it loses 0.029 V" in said
    assert "Aircraft" not in said and "mΩ" not in said


@pytest.mark.reference(BOND)
def test_what_aircraft_practice_allows_stands_beside_a_ground_only_to_compare():
    assert "Only to compare" in COMPARED and "3 mΩ" in COMPARED and "AC 43.13-1B" in COMPARED
    assert Mended(mending=mending("ground")).compared == COMPARED
    assert Mended(mending=mending("contact")).compared == ""


def test_the_note_holds_the_answer_and_what_proves_it_and_no_steps():
    made = sheet("headlamps")
    found = mended(
        made,
        solve(made),
        made.part("S3"),
        mending("joint"),
        range_of=lambda _: (0.0, 0.1),
        joint=joint_rule("crimp"),
    )
    first, *_, last = found.note.split("\n")
    assert first == f"Size the repair: {found.sentence}"
    assert last == "Joint: Sealed crimp splice."
    assert "must read 0.00 to 0.10 V" in found.note
    assert "choose" not in found.note and "Cut back" not in found.note


def test_a_repair_that_is_not_known_is_refused():
    with pytest.raises(BenchError, match="There is no repair"):
        mending("glue")
