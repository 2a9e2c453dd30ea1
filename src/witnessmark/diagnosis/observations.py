"""What people say and what the meter says: complaints and readings as values."""

from dataclasses import dataclass
from typing import Final

from witnessmark.diagnosis.belief import LAMP_OUTCOMES, LOOKS, REPORTED
from witnessmark.errors import BenchError
from witnessmark.quantities import Quantity, convert, kind_of

VOLTS: Final = "volts"
LAMP: Final = "lamp"
KINDS: Final = (VOLTS, LAMP)
GROUND: Final = ""  # the reference that needs no name: the battery's negative post


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
    """

    complaint: str
    source: str = "customer"
    look: str = ""

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
    """Something one can do at a point: measure volts or hold a test lamp, in one state.

    Attributes
    ----------
    kind
        "volts" or "lamp".
    point
        Letter of the point that the red probe touches.
    reference
        Letter of the point that the other probe touches; empty for the battery's negative post.
    state
        Operating state of the circuit during the test.
    """

    kind: str
    point: str
    state: str
    reference: str = GROUND

    @property
    def key(self) -> str:
        """The text that names this test in a stored reading: "volts E state=run"."""
        return test_key(self.kind, self.point, self.state, self.reference)


@dataclass(frozen=True, slots=True, kw_only=True)
class TestReading:
    """One reading of Find that stands: what was done, and what came out.

    Attributes
    ----------
    id
        Identifier of the entry, so that an answer can point back to it.
    kind
        "volts" or "lamp".
    point
        Letter of the point.
    reference
        Letter of the other probe's point; empty for the battery's negative post.
    state
        Operating state during the test.
    text
        The value as typed or chosen.
    quantity
        For volts: the value read from the text.
    outcome
        For a lamp: "lit", "dim" or "dark".
    present
        Whether the complaint was there during the test; None where nobody said.
    """

    id: str
    kind: str
    point: str
    state: str
    text: str
    reference: str = GROUND
    quantity: Quantity | None = None
    outcome: str = ""
    present: bool | None = None

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise BenchError(
                f'The test at {self.point} is called "{self.kind}".',
                "It must be volts or lamp.",
                "Choose one of the two.",
            )
        if self.kind == VOLTS and self.quantity is None:
            raise BenchError(
                f'The reading at {self.point} is "{self.text}".',
                "It must be a number of volts.",
                "Type what the meter shows, for example 12.4.",
            )
        if self.quantity is not None and kind_of(self.quantity.unit) != kind_of("V"):
            raise BenchError(
                f'The reading at {self.point} is "{self.text}".',
                "It must be volts.",
                "Set the meter to volts DC and read again.",
            )
        if self.kind == LAMP and self.outcome not in LAMP_OUTCOMES:
            raise BenchError(
                f'The test lamp at {self.point} is "{self.outcome or self.text}".',
                "It must be lit, dim or dark.",
                "Choose the one that comes nearest.",
            )

    @property
    def voltage_v(self) -> float:
        """The reading in volts."""
        assert self.quantity is not None, "a lamp has no volts"
        return convert(self.quantity.value, self.quantity.unit, "V")

    @property
    def resolution_v(self) -> float:
        """The step of the last digit typed, in volts."""
        assert self.quantity is not None, "a lamp has no volts"
        return convert(self.quantity.resolution, self.quantity.unit, "V")

    @property
    def test(self) -> Test:
        """The test that gave this reading."""
        return Test(kind=self.kind, point=self.point, reference=self.reference, state=self.state)

    @property
    def key(self) -> str:
        """The text that names the test."""
        return self.test.key


def test_key(kind: str, point: str, state: str, reference: str = GROUND) -> str:
    """Return the text that names a test, for a stored reading to carry.

    Parameters
    ----------
    kind
        "volts" or "lamp".
    point
        Letter of the point.
    state
        Operating state.
    reference
        Letter of the other probe's point; empty for the battery's negative post.

    Examples
    --------
    >>> test_key("volts", "E", "run")
    'volts E state=run'
    >>> test_key("lamp", "E", "key on", reference="A")
    'lamp E to=A state=key on'
    """
    to = f" to={reference}" if reference else ""
    return f"{kind} {point}{to} state={state}"


def parse_test_key(key: str) -> Test:
    """Return the test that a key names.

    Parameters
    ----------
    key
        A text that `test_key` made.

    Raises
    ------
    BenchError
        If the text names no test.

    Examples
    --------
    >>> parse_test_key("lamp E to=A state=key on").reference
    'A'
    """
    head, found, state = key.partition(" state=")
    words = head.split()
    well = bool(found and state and words) and words[0] in KINDS
    if well and len(words) == 2:
        return Test(kind=words[0], point=words[1], state=state)
    if well and len(words) == 3 and words[2].startswith("to=") and len(words[2]) > 3:
        return Test(kind=words[0], point=words[1], reference=words[2][3:], state=state)
    raise BenchError(
        f'The test is written "{key}".',
        'It must read like "volts E state=run" or "lamp D state=run".',
        "Choose the test from the screen again.",
    )
