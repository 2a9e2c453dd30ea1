"""The general circuits that come with the program, by group, to start a sheet from."""

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable

from witnessmark.sheets.toml_lines import head_comments

_FOLDER = files("witnessmark.examples") / "circuits"
_TO_CHANGE = "Enter your own from the maker's wiring diagram."


@dataclass(frozen=True, slots=True, kw_only=True)
class GeneralCircuit:
    """A circuit to start from.

    Attributes
    ----------
    key
        Name of its file.
    title, group, about
        What it is, the shelf it stands on, and what it does in one sentence.
    caution
        What the head of the sheet warns of; empty where it does not.
    text
        The whole sheet.
    """

    key: str
    title: str
    group: str
    about: str
    caution: str
    text: str


@cache
def general_circuits() -> dict[str, GeneralCircuit]:
    """Return every general circuit by the name of its file, in the order of groups and titles."""
    found = []
    for path in _sheets():
        text = path.read_text(encoding="utf-8")
        head = tomllib.loads(text)["circuit"]
        title = head["name"].removeprefix("General circuit, ")
        found.append(
            GeneralCircuit(
                key=path.name.removesuffix(".toml"),
                title=title[:1].upper() + title[1:],
                group=head["group"],
                about=head["about"],
                caution=caution_in(text),
                text=text,
            )
        )
    found.sort(key=lambda one: (one.group, one.title))
    return {one.key: one for one in found}


def caution_in(text: str) -> str:
    """Return what a general circuit warns of, in it or in a sheet that was made from it.

    Other comments at the head of a sheet are what a shop wrote for itself: they may name the fault
    or a person, and so may the note.
    """
    return " ".join(line for line in head_comments(text) if line in _cautions())


@cache
def _cautions() -> frozenset[str]:
    """Return the comments at the head of the general circuits, but for what calls them invented."""
    heads = [head_comments(path.read_text(encoding="utf-8")) for path in _sheets()]
    return frozenset(line for head in heads for line in without_invented(head) if line)


def _sheets() -> list[Traversable]:
    return [path for path in _FOLDER.iterdir() if path.name.endswith(".toml")]


def without_invented(comments: Sequence[str]) -> tuple[str, ...]:
    """Return the comments at the head of a sheet without the one that calls it invented.

    Parameters
    ----------
    comments
        The comments at its head.
    """
    return tuple(line for line in comments if not line.endswith(_TO_CHANGE))


def general_groups() -> list[tuple[str, list[GeneralCircuit]]]:
    """Return the groups by name, each with its circuits."""
    groups: dict[str, list[GeneralCircuit]] = {}
    for one in general_circuits().values():
        groups.setdefault(one.group, []).append(one)
    return list(groups.items())
