"""Cautions: what is said before an operation that can hurt someone.

The words are our own and general. They never replace the vehicle maker's service information
or the rules of the shop; every number in them is a setting of the shop or the maker's.
"""

from collections.abc import Iterable
from dataclasses import dataclass

MOST_SHOWN = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """One caution: its id, when it is shown, what it says, and who says so."""

    id: str
    when: str
    text: str
    source: str
    teacher_present: bool = False


# Ordered by what kills first: where a step has more hazards than are shown, the first ones win.
CAUTIONS: dict[str, Caution] = {
    one.id: one
    for one in (
        Caution(
            id="HV",
            when="hybrid or electric vehicle, orange cable",
            text="Learners stop here. A qualified person isolates, locks off and proves dead by "
            "test; the keys are locked away from the vehicle. Over 60 V dc is high voltage, and "
            "parts keep their charge after isolation. Not for anyone with a pacemaker or similar.",
            source="HSE guidance, seen as reprinted in a trade magazine for recovery work",
            teacher_present=True,
        ),
        Caution(
            id="SRS",
            when="airbag, pretensioner, steering wheel, seat",
            text="Trained person only. Isolate, then wait the time that the maker gives. Never "
            "probe with a meter. Carry it with the cover away from you, lay it cover up, put "
            "nothing on it; do not drop, heat or open it. Lock it away.",
            source="HSE INDG280 and its page on motor vehicle repair, seen; handling seen in a "
            "motor-trade leaflet",
            teacher_present=True,
        ),
        Caution(
            id="FUEL",
            when="tank, fuel line, filter, injector",
            text="Petrol vapour is invisible, heavy and runs to pits and drains. Teacher present. "
            "No sparks, lamps, heaters or charging nearby. Fuel-recovery gear only, never "
            "improvised draining. Let the line pressure down by the maker's method.",
            source="HSE, seen as an insurer's copy of 2011; line pressure from memory",
            teacher_present=True,
        ),
        Caution(
            id="SPRING",
            when="coil spring, strut, torsion bar, return spring",
            text="A compressed spring holds enough force to kill. Inspected compressor, full "
            "engagement, guard, nobody in line. The teacher releases the hold. Torsion bars fly "
            "too.",
            source="OSHA inspection 102035656, torsion bar, seen; controls from memory",
            teacher_present=True,
        ),
        Caution(
            id="JACK",
            when="any lift by jack",
            text="Never go under a vehicle held by a jack alone. Rated stands with their own "
            "pins, hard level floor, the maker's lifting points, the other wheels chocked.",
            source="HSE, motor vehicle repair, under vehicles, seen; INDG434 seen as a copy",
        ),
        Caution(
            id="LIFT",
            when="two-post lift",
            text="Pads on the maker's points, arm locks engaged and working, within the rated "
            "load. A lift that is not examined in date is not used.",
            source="HSE SIM 03/2010/2, seen; six-monthly examination is the practice in GB",
        ),
        Caution(
            id="AIRSUS",
            when="air suspension",
            text="Do not go under until the body is propped or the air is let out: it can drop "
            "without warning.",
            source="HSE notice, seen as reprinted by IAAF in 2022",
        ),
        Caution(
            id="TYRE",
            when="inflating, seating a bead",
            text="Tyres and split wheels explode. Cage or restraint, long hose with a clip-on "
            "chuck, stand out of line, stop at the bead-seat limit.",
            source="HSE, motor vehicle repair, introduction, seen; controls from memory",
        ),
        Caution(
            id="WELD",
            when="heat near tank, trim or cavity",
            text="No welding and no heat on a fuel tank, ever. Isolate battery and airbags by the "
            "maker's method before electric welding.",
            source="a school district's rule, seen; airbags seen in makers' notes",
        ),
        Caution(
            id="MOVE",
            when="starting an engine, moving a vehicle",
            text="Brake on, neutral, nobody in line. Under the vehicle: engine off, key out and "
            "in the pocket of the one underneath.",
            source="HSE, motor vehicle repair, introduction, seen; OSHA letter of 20 May 1991",
        ),
        Caution(
            id="CO",
            when="engine running indoors",
            text="Extraction on the tailpipe before starting. An open door is not enough, and a "
            "catalyst does not make it safe, least of all cold. Headache or dizziness: engine "
            "off, everyone out.",
            source="HSE, motor vehicle repair, exhaust, seen",
        ),
        Caution(
            id="COOLANT",
            when="coolant cap, hose, thermostat",
            text="Hot coolant is under pressure and scalds. Wait until it is cool, an hour or "
            "more; cloth on the cap, first stop, let it hiss out, then open. Electric fans may "
            "start by themselves.",
            source="WorkSafeBC, seen as a copy in a safety council's magazine",
        ),
        Caution(
            id="BATT",
            when="charging, jump-starting or disconnecting a battery",
            text="A charging battery gives off explosive gas and holds acid. Eye protection; no "
            "rings or watch; keep sparks, flames and phones away; ventilate; insulated tools; "
            "cover the terminals; stop when it is full.",
            source="HSE INDG139, seen as a copy",
        ),
        Caution(
            id="DUST",
            when="brakes, clutch",
            text="Treat the dust as asbestos. Wet it, or use an enclosure with a HEPA vacuum; "
            "wipe, bag and label the cloth. No dry brushing.",
            source="EPA brochure on brake and clutch work, 2007, seen",
        ),
        Caution(
            id="AC",
            when="any refrigerant joint",
            text="Do not open the circuit. Never vent. Only a certified person with approved "
            "equipment opens it, by the law of the country.",
            source="EPA, motor vehicle air conditioning, section 609, seen (January 2021)",
        ),
        Caution(
            id="WHEEL",
            when="wheels refitted",
            text="Clean faces, start by hand, cross pattern, torque wrench, two people. Tell the "
            "owner in writing to have them checked again after a short distance.",
            source="50 to 100 km is trade custom, seen in the press; follow the vehicle maker",
        ),
    )
}

# What a step does, and the cautions that it cannot be without.
OPERATIONS: dict[str, tuple[str, ...]] = {
    "jack": ("JACK",),
    "lift": ("LIFT",),
    "air suspension": ("AIRSUS",),
    "move": ("MOVE",),
    "start engine": ("MOVE",),
    "engine running": ("CO",),
    "fuel": ("FUEL",),
    "battery": ("BATT",),
    "airbag": ("SRS",),
    "high voltage": ("HV",),
    "brakes": ("DUST",),
    "clutch": ("DUST",),
    "refrigerant": ("AC",),
    "coolant": ("COOLANT",),
    "spring": ("SPRING",),
    "tyre": ("TYRE",),
    "weld": ("WELD",),
    "wheels": ("WHEEL",),
}


def cautions_for(operations: Iterable[str]) -> tuple[Caution, ...]:
    """Return every caution that operations call for, the gravest first.

    Parameters
    ----------
    operations
        Tags of a step; one that is not known calls for nothing here and is found by the check.

    Returns
    -------
    tuple
        Each caution once.

    Examples
    --------
    >>> [one.id for one in cautions_for(["brakes", "jack"])]
    ['JACK', 'DUST']
    """
    wanted = {caution for tag in operations for caution in OPERATIONS.get(tag, ())}
    return tuple(caution for id, caution in CAUTIONS.items() if id in wanted)


def cautions_shown(ids: Iterable[str]) -> tuple[Caution, ...]:
    """Return the cautions that stand above a step, two at most.

    Parameters
    ----------
    ids
        The cautions that the step lists.

    Returns
    -------
    tuple
        The gravest two.

    Examples
    --------
    >>> [one.id for one in cautions_shown(["DUST", "WHEEL", "SPRING"])]
    ['SPRING', 'DUST']
    """
    listed = set(ids)
    return tuple(one for id, one in CAUTIONS.items() if id in listed)[:MOST_SHOWN]


def teacher_stays(ids: Iterable[str]) -> bool:
    """Return whether the teacher stays for the whole of a step.

    Parameters
    ----------
    ids
        The cautions that the step lists.

    Returns
    -------
    bool
        True for fuel, airbags, high voltage and springs.

    Examples
    --------
    >>> teacher_stays(["DUST"]), teacher_stays(["FUEL"])
    (False, True)
    """
    return any(CAUTIONS[id].teacher_present for id in ids if id in CAUTIONS)
