"""What the minutes of a test are made of: getting at the place, setting up the state, the test."""

from dataclasses import dataclass

from witnessmark.diagnosis.dictionary import Dictionary
from witnessmark.diagnosis.observations import Test
from witnessmark.diagnosis.offers import doing_minutes, minutes_of
from witnessmark.quantities import listed


@dataclass(frozen=True, slots=True, kw_only=True)
class Minutes:
    """The minutes of a test after the one before it.

    Attributes
    ----------
    doing
        The test itself, with its entry. [min]
    reaching, setting
        Getting at its place, and setting up its state, from where the test before it ended. [min]
    reaching_saved, setting_saved
        Of both, what the test before has done already. [min]
    """

    doing: float
    reaching: float
    setting: float
    reaching_saved: float
    setting_saved: float

    @property
    def total(self) -> float:
        """All that are taken. [min]"""
        return self.doing + self.reaching + self.setting


def minutes_made_of(book: Dictionary, test: Test, last: Test | None) -> Minutes:
    """Return what the minutes of a test are made of.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    test
        The test.
    last
        The test before it, with the state in which it left the circuit; None at the start.
    """
    doing = doing_minutes(test)
    setup = next((one.minutes for one in book.settings if one.name == test.state), 0.0)
    is_set = bool(test.state) and last is not None and last.state == test.state
    setting = 0.0 if is_set else setup
    at_first, now = minutes_of(book, test, None), minutes_of(book, test, last)
    access, reaching = at_first - doing - setup, now - doing - setting
    return Minutes(
        doing=doing,
        reaching=reaching,
        setting=setting,
        reaching_saved=access - reaching,
        setting_saved=setup - setting,
    )


def made_words(made: Minutes) -> str:
    """Return what the minutes of a test are made of, as the end of a sentence.

    Parameters
    ----------
    made
        The minutes.

    Examples
    --------
    >>> made_words(Minutes(doing=1, reaching=3, setting=1, reaching_saved=0, setting_saved=0))
    'getting at it 3, setting up 1, the test itself 1'
    >>> made_words(Minutes(doing=1.5, reaching=2, setting=0, reaching_saved=1, setting_saved=1))
    'getting at it 2, the test itself 1.5; the rest is shared with the test before'
    >>> made_words(Minutes(doing=1, reaching=0, setting=0, reaching_saved=0, setting_saved=1))
    'the test itself 1; setting up is shared with the test before'
    """
    parts = []
    if made.reaching:
        parts.append(f"getting at it {figure_words(made.reaching)}")
    if made.setting:
        parts.append(f"setting up {figure_words(made.setting)}")
    parts.append(f"the test itself {figure_words(made.doing)}")
    said = ", ".join(parts)
    shared = []
    if made.reaching_saved and not made.reaching:
        shared.append("getting at it")
    if made.setting_saved:
        shared.append("setting up")
    if made.reaching_saved and made.reaching:
        shared = ["the rest"]
    if shared:
        verb = "is" if len(shared) == 1 else "are"
        said += f"; {listed(shared, 'and')} {verb} shared with the test before"
    return said


def figure_words(minutes: float) -> str:
    """Return minutes as a figure, with their half where they have one.

    Parameters
    ----------
    minutes
        Minutes. [min]

    Examples
    --------
    >>> figure_words(2.0), figure_words(2.5)
    ('2', '2.5')
    """
    return f"{minutes:.1f}".removesuffix(".0")


def said_minutes(minutes: float) -> str:
    """Return minutes in words, with their half where they have one.

    Parameters
    ----------
    minutes
        Minutes. [min]

    Examples
    --------
    >>> said_minutes(1.0), said_minutes(2.5)
    ('1 minute', '2.5 minutes')
    """
    figure = figure_words(minutes)
    return "1 minute" if figure == "1" else f"{figure} minutes"
