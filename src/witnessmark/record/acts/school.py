"""Acts on the shop itself: first start, places, periods, instruments, library."""

from collections.abc import Sequence
from datetime import date
from uuid import UUID
from zoneinfo import ZoneInfo, available_timezones

from witnessmark.errors import BenchError
from witnessmark.people.models import Person, Role
from witnessmark.people.sign_in import hashed_password, hashed_pin
from witnessmark.quantities import parse
from witnessmark.record.acts.by import By
from witnessmark.record.acts.drafts import must_go_on
from witnessmark.record.acts.names import must_have_handle, must_name
from witnessmark.record.library import title_of
from witnessmark.shop.models import Bay, CircuitDraft, Instrument, LibraryItem, Period, Shop
from witnessmark.shop.periods import WeeklyPeriod, dated
from witnessmark.work.digest import text_digest


def start_shop(
    id: UUID,
    *,
    name: str,
    units: str,
    zone: str,
    teacher_name: str,
    handle: str,
    password: str,
    pin: str,
    paper: str = "",
    is_demo: bool = False,
) -> tuple[Shop, Person]:
    """Open a new shop with its first teacher. Only where there is no teacher yet."""
    name, teacher_name, handle = name.strip(), teacher_name.strip(), handle.strip().casefold()
    if not name:
        raise BenchError(
            "The shop has no name.", "It stands on every page and paper.", "Write the name."
        )
    must_name(teacher_name)
    must_have_handle(handle)
    if units not in {"metric", "inch"}:
        raise BenchError(
            f"The units are '{units}'.", "A shop works in metric or in inch.", "Choose one of them."
        )
    if paper not in {"", "A4", "Letter"}:
        raise BenchError(f"The paper is '{paper}'.", "It is A4 or Letter.", "Choose one of them.")
    if zone not in available_timezones():
        raise BenchError(
            f"There is no time zone '{zone}'.",
            "It is named by region and city, as in Europe/Oslo.",
            "Choose it from the list.",
        )
    person = Person(
        id=id,
        name=teacher_name,
        role=Role.TEACHER,
        handle=handle,
        password=hashed_password(password),
        pin=hashed_pin(pin),
    )
    asked = {
        "name": name,
        "units": units,
        "zone": zone,
        "teacher": teacher_name,
        "handle": handle,
        "demo": is_demo,
    }
    by = By(person=person)
    with by.act("shop started", id, subject=person, asked=asked) as doing:
        if doing.is_repeated:
            return Shop.objects.get(pk=1), Person.objects.get(pk=id)
        if Person.objects.filter(role=Role.TEACHER).exists() or Shop.objects.exists():
            raise BenchError(
                "This shop has a teacher already.",
                "A shop is started once.",
                "Sign in, or ask a teacher to add you under People.",
            )
        shop = doing.add(
            Shop(
                pk=1,
                name=name,
                units=units,
                zone=ZoneInfo(zone).key,
                paper=paper or ("A4" if units == "metric" else "Letter"),
                is_demo=is_demo,
            )
        )
        doing.add(person)
        return shop, person


def change_shop(
    by: By,
    id: UUID,
    *,
    units: str,
    paper: str,
    tools_down_minutes: int,
    within_at: float,
    outside_at: float,
) -> Shop:
    """Change the shop's settings. Verdicts and marks that stand keep what was shown."""
    by.must_be_teacher("change the shop's settings")
    if not 0 <= outside_at < within_at <= 1:
        raise BenchError(
            f"The shop would call {within_at:g} within and {outside_at:g} outside.",
            "The first is above the second, and both lie between 0 and 1.",
            "The usual pair is 0.95 and 0.05.",
        )
    if units not in {"metric", "inch"} or paper not in {"A4", "Letter"}:
        raise BenchError(
            "The units or the paper are not known.",
            "Units are metric or inch, paper is A4 or Letter.",
            "Choose again.",
        )
    asked = {
        "units": units,
        "paper": paper,
        "tools_down_minutes": tools_down_minutes,
        "within_at": f"{within_at:g}",
        "outside_at": f"{outside_at:g}",
    }
    with by.act("shop changed", id, asked=asked) as doing:
        shop = Shop.objects.get(pk=1)
        if doing.is_repeated:
            return shop
        return doing.change(
            shop,
            units=units,
            paper=paper,
            tools_down_minutes=tools_down_minutes,
            within_at=within_at,
            outside_at=outside_at,
        )


def add_bay(by: By, id: UUID, *, name: str, kind: str = "bay") -> Bay:
    """Add a bay for vehicles, or a bench place for units."""
    by.must_be_teacher("add a bay")
    must_name(name)
    if kind not in {"bay", "bench"}:
        raise BenchError(f"A place of kind '{kind}'.", "It is a bay or a bench.", "Choose one.")
    with by.act("bay added", id, asked={"name": name, "kind": kind}) as doing:
        if doing.is_repeated:
            return Bay.objects.get(pk=id)
        bay = Bay(id=id, name=name.strip(), kind=kind, position=Bay.objects.count() + 1)
        doing.say(subject=bay)
        return doing.add(bay)


def add_periods(
    by: By, id: UUID, *, pattern: Sequence[WeeklyPeriod], first: date, days: int = 14
) -> tuple[Period, ...]:
    """Make the dated periods of a weekly pattern; a period that is there already stays."""
    by.must_be_teacher("set the periods")
    asked = {
        "first": first,
        "days": days,
        "pattern": [
            [p.weekday, p.number, p.start.isoformat(), p.end.isoformat(), p.section_id, p.presence]
            for p in pattern
        ],
    }
    with by.act("periods added", id, asked=asked) as doing:
        wanted = dated(pattern, first, days)
        there = {
            (p.date, p.number, p.section_id): p
            for p in Period.objects.filter(date__in={w.date for w in wanted})
        }
        if doing.is_repeated:
            return tuple(there.get((w.date, w.number, w.section_id), w) for w in wanted)
        made = []
        for period in wanted:
            if (period.date, period.number, period.section_id) not in there:
                made.append(doing.add(period))
        doing.say(made=len(made))
        return tuple(made)


def set_presence(by: By, id: UUID, *, period: Period, presence: str) -> Period:
    """Say whether the teacher is in during a period, a substitute, or nobody."""
    by.must_be_teacher("change a period")
    if presence not in {"in", "substitute", "out"}:
        raise BenchError(
            f"Presence is '{presence}'.", "It is in, substitute or out.", "Choose one of them."
        )
    with by.act(
        "presence set", id, subject=period, asked={"period": period.pk, "presence": presence}
    ) as doing:
        if not doing.is_repeated:
            doing.change(period, presence=presence)
            doing.say(presence=presence)
        return period


def add_instrument(
    by: By,
    id: UUID,
    *,
    name: str,
    kind: str,
    resolution: str,
    u_calibration: str = "",
    u_zero: str = "",
    u_repeat: str = "",
    set_in: Instrument | None = None,
    due: date | None = None,
) -> Instrument:
    """Add something one measures with; its values are kept as typed."""
    by.must_be_teacher("add an instrument")
    must_name(name)
    for text in (resolution, u_calibration, u_zero, u_repeat):
        if text:
            parse(text)
    if not resolution:
        raise BenchError(
            f"{name} has no resolution.",
            "The smallest step it shows decides how sure a reading is.",
            "Write it with its unit, as in 0.01 mm.",
        )
    asked = {
        "name": name,
        "kind": kind,
        "resolution": resolution,
        "u_calibration": u_calibration,
        "u_zero": u_zero,
        "u_repeat": u_repeat,
        "set_in": set_in,
        "due": due,
    }
    with by.act("instrument added", id, asked=asked) as doing:
        if doing.is_repeated:
            return Instrument.objects.get(pk=id)
        instrument = Instrument(
            id=id,
            name=name.strip(),
            kind=kind,
            resolution=resolution,
            u_calibration=u_calibration,
            u_zero=u_zero,
            u_repeat=u_repeat,
            set_in=set_in,
            due=due,
        )
        doing.say(subject=instrument)
        return doing.add(instrument)


def _is_version_of(draft: CircuitDraft, title: str) -> bool:
    return draft.begun_from is not None and draft.begun_from.title == title


def put_in_library(
    by: By, id: UUID, *, kind: str, text: str, name: str, draft: CircuitDraft | None = None
) -> LibraryItem:
    """Put a sheet, procedure or week into the Library; `name` is the file's, for its mistakes.

    One of the same kind and title becomes a new version; the old one stays. The draft that it was
    entered as is ended by it.
    """
    by.must_be_teacher("put a sheet into the Library")
    title = title_of(kind, text, name)
    digest = text_digest(text)
    asked = {"kind": kind, "digest": digest}
    if draft is not None:
        asked["draft"] = str(draft.pk)
    with by.act("put in library", id, asked=asked) as doing:
        if doing.is_repeated:
            return LibraryItem.objects.get(pk=id)
        if draft is not None:
            must_go_on(draft)
        last = LibraryItem.objects.filter(kind=kind, title=title).order_by("-version").first()
        if last is not None and last.digest == digest:
            raise BenchError(
                f"{title} is in the Library already, word for word.",
                "A new version says something else.",
                f"Use version {last.version}.",
            )
        if last is not None and draft is not None and not _is_version_of(draft, title):
            raise BenchError(
                f"There is a sheet {title} in the Library already.",
                "Each vehicle's sheet has a name of its own; a new version is begun from the sheet "
                "that is there.",
                "Give this one another name.",
            )
        item = doing.add(
            LibraryItem(
                id=id,
                kind=kind,
                title=title,
                text=text,
                digest=digest,
                version=1 if last is None else last.version + 1,
                added_by=by.person,
                at=doing.at,
            )
        )
        if draft is not None:
            doing.change(draft, ended_at=doing.at, became=item)
        doing.say(version=item.version, subject=item)
        return item
