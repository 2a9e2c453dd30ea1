"""The advised tests against half-splitting by hand, on vehicles with known faults."""

from collections.abc import Iterator

from benchmarks import Row
from tests.diagnosis.fleets import WRONG_PART_MIN, compared
from tests.diagnosis.sheets_shipped import ALL, circuit
from witnessmark.networks.circuit import Circuit, Complaint

VEHICLES = 20  # of each case
LARGE = {"body-front.toml": 6}  # 51 parts: one vehicle takes as long as three of the others
OF_EACH = 3  # complaints of a circuit
SEED = 100
FEWER = 0.15
MOST_WRONG = 0.08
NAMED = 8  # of the closest cases are printed


def cases() -> Iterator[tuple[Circuit, Complaint, int]]:
    """The first complaints of every circuit that ships, and how many vehicles of each."""
    for name in sorted(ALL):
        for complaint in circuit(name).complaints[:OF_EACH]:
            yield circuit(name), complaint, LARGE.get(name, VEHICLES)


def rows() -> list[Row]:
    """Play the same vehicles both ways."""
    savings: dict[str, float] = {}
    vehicles = wrong = wrong_by_hand = 0
    ours_min = by_hand_min = 0.0
    for sheet, complaint, count in cases():
        ours, theirs, missed, missed_by_hand = compared(sheet, complaint, count, SEED)
        case = f"{sheet.name.removeprefix('General circuit, ')}: {complaint.key}"
        savings[f"{case} {ours:.1f} and {theirs:.1f} min"] = 1.0 - ours / theirs
        wrong, wrong_by_hand = wrong + missed, wrong_by_hand + missed_by_hand
        ours_min, by_hand_min = ours_min + ours, by_hand_min + theirs
        vehicles += count
    count = len(savings)
    assert count >= 40
    order = sorted(savings, key=lambda case: savings[case])
    closest = "; ".join(f"{case} ({100 * savings[case]:.0f} %)" for case in order[:NAMED])
    missed = sum(saving < FEWER for saving in savings.values())
    return [
        Row(
            name=f"find: minutes to the repair, fewer than by hand, worst of {count} cases",
            value=100.0 * savings[order[0]],
            unit="%",
            against=f"half-splitting, {vehicles} noisy vehicles of {len(ALL)} circuits, a wrong "
            f"part {WRONG_PART_MIN:g} min; {missed} cases below the bar; ours and by hand on the "
            f"closest: {closest}",
            bar="at least 15 % on every case",
            holds=missed == 0,
        ),
        Row(
            name="find: minutes to the repair, half-splitting over ours",
            value=by_hand_min / ours_min,
            unit="x",
            against=f"half-splitting: {by_hand_min / count:.1f} min, ours {ours_min / count:.1f}",
        ),
        Row(
            name="find: first part wrong",
            value=100.0 * wrong / vehicles,
            unit="%",
            against=f"half-splitting {100.0 * wrong_by_hand / vehicles:.0f} %",
            bar="at most 8 %",
            holds=wrong <= MOST_WRONG * vehicles,
        ),
    ]
