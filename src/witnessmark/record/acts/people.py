"""Acts on people: sections, learners, teachers, PINs, permits, devices."""

from datetime import date, datetime
from uuid import UUID, uuid4

from witnessmark.errors import BenchError
from witnessmark.log.act import Act
from witnessmark.people import devices, permits
from witnessmark.people.models import Device, Membership, Permit, PermitLevel, Person, Role, Section
from witnessmark.people.sign_in import forget_guesses, hashed_password, hashed_pin, require_pin
from witnessmark.record.acts.by import By
from witnessmark.record.acts.names import must_have_handle, must_name
from witnessmark.shop import clock
from witnessmark.shop.periods import zone


def add_section(by: By, id: UUID, *, name: str) -> Section:
    """Add a class."""
    by.must_be_teacher("add a section")
    must_name(name)
    with by.act("section added", id, asked={"name": name}) as doing:
        if doing.is_repeated:
            return Section.objects.get(pk=id)
        section = Section(id=id, name=name.strip())
        doing.say(subject=section)
        return doing.add(section)


def add_learner(
    by: By,
    id: UUID,
    *,
    name: str,
    section: Section,
    pin: str,
    start: date | None = None,
    outside_id: str = "",
) -> Person:
    """Add a learner to a section. Two learners of one name stay two."""
    by.must_be_teacher("add a learner")
    return _add_person(
        by, id, name, Role.LEARNER, pin, section=section, start=start, outside_id=outside_id
    )


def add_aide(by: By, id: UUID, *, name: str, section: Section, pin: str) -> Person:
    """Add an aide, who helps a section and never marks."""
    by.must_be_teacher("add an aide")
    return _add_person(by, id, name, Role.AIDE, pin, section=section)


def add_teacher(
    by: By, id: UUID, *, name: str, handle: str, password: str, pin: str, role: str = Role.TEACHER
) -> Person:
    """Add a teacher, or with `role` the office: both sign in by password."""
    by.must_be_teacher("add a teacher")
    if role not in (Role.TEACHER, Role.OFFICE):
        raise BenchError(
            f"A password for a {role}.",
            "Teachers and the office sign in by password.",
            "Give a learner or aide a PIN.",
        )
    return _add_person(by, id, name, Role(role), pin, handle=handle, password=password)


def set_pin(by: By, id: UUID, *, person: Person, pin: str) -> Person:
    """Give a person a new PIN; the wait after wrong tries ends with it."""
    if by.person.pk != person.pk:
        by.must_be_teacher("give someone a new PIN")
        if person.is_teacher:
            raise BenchError(
                "Another teacher's PIN signs in that teacher's name.",
                "Each teacher sets their own.",
                "Ask them to set it.",
            )
    hashed = hashed_pin(pin)
    with by.act("PIN set", id, subject=person, asked={"person": person.pk}) as doing:
        if doing.is_repeated:
            return person
        forget_guesses(doing, person)
        return doing.change(person, pin=hashed)


def give_permit(
    by: By, id: UUID, *, person: Person, kind: str, level: str, pin: str | None = None
) -> Permit:
    """Allow a kind of work, allow it beside a teacher, or take it back; signed by PIN if given."""
    by.must_be_teacher("give a permit")
    if kind not in permits.KINDS:
        raise BenchError(
            "This is no permit of the shop.",
            "A permit is for equipment or work on the shop's list.",
            "Choose one of the list.",
        )
    if level not in PermitLevel.values:
        raise BenchError(
            f"A permit of level '{level}'.", "It is none, beside or allowed.", "Choose one of them."
        )
    if pin is not None:
        require_pin(by.person, pin, by.device, clock.now())
    asked = {"person": person.pk, "kind": kind, "level": level}
    with by.act("permit given", id, subject=person, asked=asked) as doing:
        if doing.is_repeated:
            return Permit.objects.get(pk=id)
        return doing.add(
            Permit(id=id, person=person, kind=kind, level=level, by=by.person, at=doing.at)
        )


def move_to_section(by: By, id: UUID, *, person: Person, section: Section, start: date) -> None:
    """End a person's memberships on the day before and begin a new one."""
    by.must_be_teacher("change a section")
    asked = {"person": person.pk, "section": section.pk, "start": start}
    with by.act("section changed", id, subject=person, asked=asked) as doing:
        if doing.is_repeated:
            return
        for old in Membership.objects.filter(person=person, end=None):
            doing.change(old, end=max(old.start, date.fromordinal(start.toordinal() - 1)))
        doing.add(Membership(id=id, person=person, section=section, start=start))


def leave_shop(by: By, id: UUID, *, person: Person) -> Person:
    """End a person's time in the shop; what they did stays on the record."""
    by.must_be_teacher("end someone's time in the shop")
    with by.act("left the shop", id, subject=person, asked={"person": person.pk}) as doing:
        if doing.is_repeated:
            return person
        if by.person.pk == person.pk:
            raise BenchError(
                "You would end your own time here.",
                "The shop needs a teacher who can sign in.",
                "Ask another teacher.",
            )
        end_memberships(doing, person)
        return doing.change(person, is_active=False)


def end_memberships(doing: Act, person: Person) -> None:
    """End a person's memberships today: the day of the act is the last one."""
    for old in Membership.objects.filter(person=person, end=None):
        doing.change(old, end=doing.at.astimezone(zone()).date())


def open_device(
    by: By, id: UUID, *, name: str, section: Section, until: datetime
) -> tuple[Device, str]:
    """Open a tablet or phone for a section; return it with the token for its cookie."""
    by.must_be_teacher("open a device")
    must_name(name)
    token = devices.new_token()
    asked = {"name": name, "section": section.pk, "until": until}
    with by.act("device opened", id, asked=asked) as doing:
        if doing.is_repeated:  # the answer was lost: the device gets a new token
            return _opened_again(by, Device.objects.get(pk=id), token), token
        if until <= doing.at:
            raise BenchError(
                "The device would close before it opens.",
                "It is opened for a time ahead.",
                "Choose the end of this period or of the day.",
            )
        device = Device(
            id=id,
            token_hash=devices.token_hash(token),
            name=name.strip(),
            section=section,
            opened_by=by.person,
            opened_at=doing.at,
            until=until,
        )
        doing.say(subject=device)
        return doing.add(device), token


def _opened_again(by: By, device: Device, token: str) -> Device:
    with by.act(
        "device opened again", uuid4(), subject=device, asked={"device": device.pk}
    ) as doing:
        return doing.change(device, token_hash=devices.token_hash(token))


def close_device(by: By, id: UUID, *, device: Device) -> Device:
    """Close a device; whoever stands at it may do so."""
    with by.act("device closed", id, subject=device, asked={"device": device.pk}) as doing:
        if not doing.is_repeated and device.closed_at is None:
            doing.change(device, closed_at=doing.at)
        return device


def _add_person(
    by: By,
    id: UUID,
    name: str,
    role: Role,
    pin: str,
    *,
    section: Section | None = None,
    start: date | None = None,
    outside_id: str = "",
    handle: str = "",
    password: str = "",
) -> Person:
    must_name(name)
    handle = handle.strip().casefold()
    if role in (Role.TEACHER, Role.OFFICE):
        must_have_handle(handle)
    person = Person(
        id=id,
        name=name.strip(),
        role=role,
        handle=handle or None,
        outside_id=outside_id or None,
        pin=hashed_pin(pin),
    )
    if password:
        person.password = hashed_password(password)
    else:
        person.set_unusable_password()
    asked = {
        "name": name,
        "role": str(role.value),
        "handle": handle,
        "outside_id": outside_id,
        "section": section,
    }
    with by.act("person added", id, subject=person, asked=asked) as doing:
        if doing.is_repeated:
            return Person.objects.get(pk=id)
        if handle and Person.objects.filter(handle=handle).exists():
            raise BenchError(
                f"Someone signs in as {handle} already.",
                "Each teacher has a name of their own to sign in with.",
                "Choose another word.",
            )
        if outside_id and Person.objects.filter(outside_id=outside_id).exists():
            raise BenchError(
                "Someone with this school number is here already.",
                "A school number belongs to one person.",
                "Look for them in the other section.",
            )
        doing.add(person)
        doing.say(role=str(role.value))
        if section is not None:
            day = start or doing.at.astimezone(zone()).date()
            doing.add(Membership(person=person, section=section, start=day))
        return person
