"""What people say and what a test shows: complaints and readings as values."""

from dataclasses import dataclass
from typing import Final

from witnessmark.diagnosis.kinds import KINDS, OHMS, KindOfTest, kind_named
from witnessmark.diagnosis.reports import LOOKS, REPORTED
from witnessmark.errors import BenchError
from witnessmark.quantities import Quantity, convert, kind_of, parse

GROUND: Final = ""  # the reference that needs no name: the battery's negative post
OPEN: Final = "open"
OVER_THE_RANGE: Final = frozenset({"OL", "O.L", "0L", "0.L", "∞"})  # as meters show an open way
_STATE, _TO = " state=", " to="


@dataclass(frozen=True, slots=True, kw_only=True)
class Observation:
    """One complaint of the circuit sheet as somebody reports it.

    Attributes
    ----------
    complaint
        Key of the complaint in the circuit sheet.
    source
        "customer" (the customer says) or "here" (seen here).
    look
        How the load looks, where it differs from what the sheet writes for this complaint: "works"
        says that this load does what it should.
    comes_and_goes
        Whether the complaint is said to come and go; None where nobody said.
    """

    complaint: str
    source: str = "customer"
    look: str = ""
    comes_and_goes: bool | None = None

    def __post_init__(self) -> None:
        if self.source not in REPORTED:
            raise BenchError(
                f'The complaint "{self.complaint}" comes from "{self.source}".',
                'It must be "customer" (the customer says) or "here" (seen here).',
                "Say who saw it.",
            )
        if self.look and self.look not in LOOKS:
            raise BenchError(
                f'The complaint "{self.complaint}" looks like "{self.look}".',
                f"It must be one of {', '.join(LOOKS)}.",
                "Choose the one that comes nearest.",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Test:
    """Something one can do: at a point or to a part, in an operating state or with it off.

    Attributes
    ----------
    kind
        Name of the kind of test, "volts".
    point
        Letter of the point that the red probe touches; empty for a test of a part.
    state
        Operating state of the circuit during the test; empty for a part that is off.
    reference
        Letter of the point that the other probe touches; empty for the battery's negative post.
    part
        Name of the part; empty for a test at a point.
    """

    kind: str
    point: str = ""
    state: str = ""
    reference: str = GROUND
    part: str = ""

    @property
    def key(self) -> str:
        """The text that names this test in a stored reading: "volts E state=run"."""
        return test_key(self.kind, self.point or self.part, self.state, self.reference)

    @property
    def place(self) -> str:
        """Letter of its point, or name of its part."""
        return self.point or self.part


@dataclass(frozen=True, slots=True, kw_only=True)
class TestReading:
    """One reading of Find that stands: what was done, and what came out.

    Attributes
    ----------
    id
        Identifier of the entry, so that an answer can point back to it.
    kind, point, state, reference, part
        The test.
    text
        The value as typed or chosen.
    quantity
        Where the kind has a unit: the value read from the text.
    outcome
        Where the outcome is a word: "lit", "dim", "dark", "yes", "no"; "open" for ohms without end.
    present
        Whether the complaint was there during the test; None where nobody knows.
    """

    id: str
    kind: str
    state: str = ""
    text: str
    point: str = ""
    reference: str = GROUND
    part: str = ""
    quantity: Quantity | None = None
    outcome: str = ""
    present: bool | None = None

    def __post_init__(self) -> None:
        kind = kind_named(self.kind)
        if kind.unit and not (kind.outcomes and self.outcome):
            self._must_be_a_size(kind)
        elif self.outcome not in kind.outcomes:
            raise BenchError(
                f'{kind.words} at {self.place}: the outcome is "{self.outcome or self.text}".',
                f"It must be {', '.join(kind.outcomes[:0:-1])} or {kind.outcomes[0]}.",
                "Choose the one that comes nearest.",
            )

    def _must_be_a_size(self, kind: KindOfTest) -> None:
        meant = {"V": "volts", "A": "amps", "Ω": "ohms"}[kind.unit]
        if self.quantity is None:
            raise BenchError(
                f'The reading at {self.place} is "{self.text}".',
                f"It must be a number of {meant}.",
                "Type what the meter shows, for example 12.4.",
            )
        if kind_of(self.quantity.unit) != kind_of(kind.unit):
            raise BenchError(
                f'The reading at {self.place} is "{self.text}".',
                f"It must be {meant}.",
                f"Set the meter to {meant}{' DC' if kind.unit != 'Ω' else ''} and read again.",
            )

    @property
    def place(self) -> str:
        """Letter of its point, or name of its part."""
        return self.point or self.part

    @property
    def value(self) -> float:
        """The reading in the unit of its kind."""
        assert self.quantity is not None, "an outcome in words has no size"
        return convert(self.quantity.value, self.quantity.unit, KINDS[self.kind].unit)

    @property
    def resolution(self) -> float:
        """The step of the last digit typed, in the unit of its kind."""
        assert self.quantity is not None, "an outcome in words has no size"
        return convert(self.quantity.resolution, self.quantity.unit, KINDS[self.kind].unit)

    @property
    def test(self) -> Test:
        """The test that gave this reading."""
        return Test(
            kind=self.kind,
            point=self.point,
            reference=self.reference,
            state=self.state,
            part=self.part,
        )

    @property
    def key(self) -> str:
        """The text that names the test."""
        return self.test.key


def reading_of(
    test: Test, id: str, text: str, outcome: str = "", present: bool | None = None
) -> TestReading:
    """Return a reading from what was typed or chosen; a word that names an outcome is one.

    Parameters
    ----------
    test
        The test.
    id
        Identifier of the entry.
    text
        As typed: a number with or without its unit, or a word.
    outcome
        As chosen; empty where something was typed.
    present
        Whether the complaint was there during the test; None where nobody knows.

    Raises
    ------
    BenchError
        If it is neither a size nor an outcome of this kind of test.

    Examples
    --------
    >>> reading_of(parse_test_key("ohms K3"), "1", "Open").outcome
    'open'
    >>> reading_of(parse_test_key("ohms K3"), "1", "OL").outcome  # as meters show it
    'open'
    >>> reading_of(parse_test_key("look C4"), "1", "Sound to the eye").outcome  # as it is said
    'sound'
    """
    kind = kind_named(test.kind)
    typed = text.strip()
    if test.kind == OHMS and typed.upper() in OVER_THE_RANGE:
        typed = OPEN
    said = {saying.lower(): word for word, saying in zip(kind.outcomes, kind.saying, strict=True)}
    typed = said.get(typed.lower(), typed)
    if not outcome and (not kind.unit or typed.lower() in kind.outcomes):
        outcome, typed = typed.lower(), ""
    return TestReading(
        id=id,
        kind=test.kind,
        point=test.point,
        state=test.state,
        reference=test.reference,
        part=test.part,
        text=typed or outcome,
        quantity=parse(typed, kind.unit) if kind.unit and typed else None,
        outcome=outcome if kind.outcomes else "",
        present=present,
    )


def test_key(kind: str, place: str, state: str = "", reference: str = GROUND) -> str:
    """Return the text that names a test, for a stored reading to carry.

    Parameters
    ----------
    kind
        Name of the kind of test.
    place
        Letter of the point, or name of the part.
    state
        Operating state; empty for a part that is off.
    reference
        Letter of the other probe's point; empty for the battery's negative post.

    Examples
    --------
    >>> test_key("volts", "E", "run")
    'volts E state=run'
    >>> test_key("lamp", "E", "key on", reference="A")
    'lamp E to=A state=key on'
    >>> test_key("look", "C4")
    'look C4'
    """
    to = f"{_TO}{reference}" if reference else ""
    return f"{kind} {place}{to}" + (f"{_STATE}{state}" if state else "")


def parse_test_key(key: str) -> Test:
    """Return the test that a key names.

    Parameters
    ----------
    key
        A text that `test_key` made.

    Raises
    ------
    BenchError
        If the text names no test, or one that hurts.

    Examples
    --------
    >>> parse_test_key("lamp E to=A state=key on").reference
    'A'
    >>> parse_test_key("ohms K3").part
    'K3'
    """
    head, has_state, state = key.partition(_STATE)
    head, has_to, reference = head.partition(_TO)
    name, _, place = head.partition(" ")
    kind = KINDS.get(name)
    if kind is None or not place.strip() or bool(has_to) != bool(reference):
        raise _unreadable(key)
    if kind.name == OHMS and has_state:
        raise BenchError(
            f'Ohms are asked for at {place} in the state "{state}".',
            "An ohmmeter on a live circuit reads nonsense and can be damaged.",
            "Switch off, take the part off its wires, and measure it by itself.",
        )
    if kind.in_state != bool(has_state and state):
        raise _unreadable(key)
    if kind.at_point and " " not in place:
        return Test(kind=name, point=place, reference=reference, state=state)
    if kind.at_point or has_to:
        raise _unreadable(key)
    return Test(kind=name, part=place, state=state)


def _unreadable(key: str) -> BenchError:
    return BenchError(
        f'The test is written "{key}".',
        'It must read like "volts E state=run", "lamp D state=run" or "look C4".',
        "Choose the test from the screen again.",
    )
