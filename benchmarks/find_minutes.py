"""The advised tests against half-splitting by hand, on vehicles with known faults."""

from collections.abc import Iterator

from benchmarks import Row
from tests.diagnosis.fleets import WRONG_PART_MIN, compared
from tests.diagnosis.made_benches import made
from tests.diagnosis.sheets_shipped import SHEETS, circuit
from witnessmark.networks.circuit import Circuit, Complaint

VEHICLES = 24  # of each case
MADE = 8
SEED = 100
FEWER = 0.15
MOST_WRONG = 0.08


def cases() -> Iterator[tuple[Circuit, Complaint]]:
    """Every complaint of every sheet that ships and of some made circuits."""
    for name in sorted(SHEETS):
        for complaint in circuit(name).complaints:
            yield circuit(name), complaint
    for number in range(MADE):
        sheet = made(number)
        for complaint in sheet.complaints:
            yield sheet, complaint


def rows() -> list[Row]:
    """Play the same vehicles both ways."""
    savings, wrong, wrong_by_hand = [], 0, 0
    ours_min = by_hand_min = 0.0
    for sheet, complaint in cases():
        ours, theirs, missed, missed_by_hand = compared(sheet, complaint, VEHICLES, SEED)
        savings.append(1.0 - ours / theirs)
        wrong, wrong_by_hand = wrong + missed, wrong_by_hand + missed_by_hand
        ours_min, by_hand_min = ours_min + ours, by_hand_min + theirs
    count = len(savings)
    assert count >= 40
    return [
        Row(
            name=f"find: minutes to the repair, fewer than by hand, worst of {count} cases",
            value=100.0 * min(savings),
            unit="%",
            against=f"half-splitting, {VEHICLES} noisy vehicles a case, a wrong part "
            f"{WRONG_PART_MIN:g} min",
            bar="at least 15 % on every case",
            holds=min(savings) >= FEWER,
        ),
        Row(
            name="find: minutes to the repair, half-splitting over ours",
            value=by_hand_min / ours_min,
            unit="x",
            against=f"half-splitting: {by_hand_min / count:.1f} min, ours {ours_min / count:.1f}",
        ),
        Row(
            name="find: first part wrong",
            value=100.0 * wrong / (VEHICLES * count),
            unit="%",
            against=f"half-splitting {100.0 * wrong_by_hand / (VEHICLES * count):.0f} %",
            bar="at most 8 %",
            holds=wrong <= MOST_WRONG * VEHICLES * count,
        ),
    ]
