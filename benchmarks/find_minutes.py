"""The advised tests against half-splitting by hand, on vehicles with known faults."""

from collections.abc import Iterator

from benchmarks import Row
from tests.diagnosis.fleets import WRONG_PART_MIN, Compared, compared
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
    """Play the same vehicles all ways."""
    found: dict[str, Compared] = {}
    vehicles = 0
    for sheet, complaint, count in cases():
        case = f"{sheet.name.removeprefix('General circuit, ')}: {complaint.key}"
        found[case] = compared(sheet, complaint, count, SEED)
        vehicles += count
    assert len(found) >= 40
    ours, by_hand, exact = (
        sum(getattr(one, way) for one in found.values()) / len(found)
        for way in ("ours", "by_hand", "exact")
    )
    wrong = sum(one.ours_wrong for one in found.values())
    wrong_by_hand = sum(one.by_hand_wrong for one in found.values())
    return [
        _fewer(found, vehicles, exact=False),
        _fewer(found, vehicles, exact=True),
        Row(
            name="find: minutes to the repair, half-splitting by hand over ours",
            value=by_hand / ours,
            unit="x",
            against=f"by hand {by_hand:.1f} min, ours {ours:.1f}; exact {exact:.1f}",
        ),
        Row(
            name="find: first part wrong",
            value=100.0 * wrong / vehicles,
            unit="%",
            against=f"half-splitting by hand {100.0 * wrong_by_hand / vehicles:.0f} %",
            bar="at most 8 %",
            holds=wrong <= MOST_WRONG * vehicles,
        ),
    ]


def _fewer(found: dict[str, Compared], vehicles: int, exact: bool) -> Row:
    way = "who knows what every suspect would read" if exact else "by hand, good or bad"
    saved = {
        f"{case} {one.ours:.1f} and {one.exact if exact else one.by_hand:.1f} min": one.fewer(exact)
        for case, one in found.items()
    }
    order = sorted(saved, key=lambda case: saved[case])
    closest = "; ".join(f"{case} ({100 * saved[case]:.0f} %)" for case in order[:NAMED])
    missed = sum(share < FEWER for share in saved.values())
    return Row(
        name=f"find: fewer minutes than half-splitting {way}, worst of {len(found)} cases",
        value=100.0 * saved[order[0]],
        unit="%",
        against=f"{vehicles} noisy vehicles of {len(ALL)} circuits, a wrong part "
        f"{WRONG_PART_MIN:g} min; {missed} cases below 15 %; ours and theirs on the closest: "
        f"{closest}",
        bar="" if exact else "at least 15 % on every case",
        holds=None if exact else missed == 0,
    )
