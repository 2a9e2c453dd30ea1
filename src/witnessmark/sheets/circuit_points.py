"""Points of a circuit sheet: letters that are kept, words, and minutes of access."""

from collections.abc import Iterator
from statistics import median_low
from string import ascii_uppercase
from typing import Final

from witnessmark.networks import BATTERY_MINUS, Point
from witnessmark.sheets.entry import Entry, shown
from witnessmark.sheets.point_words import point_words

LETTERS: Final = tuple(sign for sign in ascii_uppercase if sign not in "IO")
ALL_LETTERS: Final = (*LETTERS, *(one + two for one in LETTERS for two in LETTERS))
MOST_POINTS: Final = len(ALL_LETTERS)
MOST_MINUTES: Final = 600.0
BY_ITSELF_MIN: Final = 1.0  # of the battery's minus post, and where no point says its minutes


class PointBook:
    """The points of a sheet being read. Until all are known, a point is called by its words."""

    def __init__(self, top: Entry, head: Entry) -> None:
        self.entry = top.table("points")
        self.access = top.table("access")
        self.head = head
        self.words: dict[str, str] = {}  # letter -> words, as the sheet keeps them
        self.ends: dict[str, list[str]] = {}  # words -> parts that end there, in order
        for letter in self.entry.data:
            self._keep(letter)
        self.unreachable = frozenset(point_words(one) for one in head.many("unreachable"))

    def _keep(self, letter: str) -> None:
        words = point_words(self.entry.words(letter))
        if letter != BATTERY_MINUS and letter not in ALL_LETTERS:
            self.entry.note(
                letter,
                f"The point '{letter}' cannot be used.",
                "A point has one or two capital letters; I and O look like figures.",
                'Write for example A = "battery +".',
            )
        elif words in (BATTERY_MINUS, *ALL_LETTERS) and words != letter:
            self.entry.note(
                letter,
                f"The point {letter} is called '{words}', which is the letter of a point.",
                "Words say where the place is.",
                'Write for example B = "after fuse F12".',
            )
        elif words in self.words.values():
            (other,) = [kept for kept, said in self.words.items() if said == words]
            self.entry.note(
                letter,
                f"'{words}' has two letters, {other} and {letter}.",
                "A place has one letter.",
                "Take one of the lines out.",
            )
        elif words:
            self.words[letter] = words

    def end(self, entry: Entry, key: str) -> str:
        """Return the words of the point where a part ends."""
        written = point_words(entry.words(key))
        words = self.words.get(written, written)
        if words:
            self.ends.setdefault(words, []).append(entry.name)
        return words

    def points(self, reference: str) -> tuple[Point, ...]:
        """Return every point with its letter, the reference first."""
        self._check(reference)
        minutes = {reference: BY_ITSELF_MIN} | self._minutes()
        given = [each for words, each in minutes.items() if words != reference]
        usual = median_low(given) if given else BY_ITSELF_MIN
        letter_of = {words: letter for letter, words in self.words.items()}
        # A part that ends at "C", without words for it, means the point C.
        letter_of.update((words, words) for words in self.ends if words in ALL_LETTERS)
        letter_of[reference] = BATTERY_MINUS
        free = self._free(set(letter_of.values()))
        points = []
        for words in self.ends:
            letter = letter_of.get(words)
            if letter is None:
                letter = "" if words in self.unreachable else next(free)
            points.append(Point(letter=letter, words=words, access_min=minutes.get(words, usual)))
        order = {letter: at for at, letter in enumerate((BATTERY_MINUS, *ALL_LETTERS, ""))}
        return tuple(sorted(points, key=lambda point: order[point.letter]))

    def _check(self, reference: str) -> None:
        for letter, words in self.words.items():
            if words not in self.ends:
                self._nothing_ends(self.entry, letter, words)
            elif (letter == BATTERY_MINUS) is not (words == reference):
                self.entry.note(
                    letter,
                    f"'{words}' has the letter {letter}.",
                    f"0 is the battery's negative post, '{reference}', and nothing else.",
                    "Take the line out, or give the point another letter.",
                )
        for words in sorted(self.unreachable):
            if words not in self.ends:
                self._nothing_ends(self.head, "unreachable", words)
        if len(self.ends) > MOST_POINTS:
            self.entry.sheet.mistake(
                ("parts",),
                f"The parts end at {len(self.ends)} points.",
                f"A sheet holds {MOST_POINTS} at most.",
                "Cut it into circuits that share only the battery.",
            )

    def _minutes(self) -> dict[str, float]:
        minutes = {}
        for key in self.access.data:
            words = self.words.get(key, point_words(key))
            if words not in self.ends:
                self._nothing_ends(self.access, key, key)
            minutes[words] = self.access.size(key, "min", most=MOST_MINUTES)
        return minutes

    def _nothing_ends(self, entry: Entry, key: str, words: str) -> None:
        entry.note(
            key,
            f"No part ends at {shown(words)}.",
            "Every point of the sheet lies at the end of a part.",
            "Check the spelling, or take the point out.",
        )

    def _free(self, taken: set[str]) -> Iterator[str]:
        """Letters that nobody has; after the last of them no letter, which is noted above."""
        yield from (letter for letter in ALL_LETTERS if letter not in taken)
        while True:
            yield ""
