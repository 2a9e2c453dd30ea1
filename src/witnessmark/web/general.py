"""The general circuits that come with the program, by group, to start a sheet from."""

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from itertools import takewhile

_FOLDER = files("witnessmark.examples") / "circuits"


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
    for path in _FOLDER.iterdir():
        if path.name.endswith(".toml"):
            text = path.read_text(encoding="utf-8")
            head = tomllib.loads(text)["circuit"]
            title = head["name"].removeprefix("General circuit, ")
            found.append(
                GeneralCircuit(
                    key=path.name.removesuffix(".toml"),
                    title=title[:1].upper() + title[1:],
                    group=head["group"],
                    about=head["about"],
                    caution=" ".join(without_invented(_head_comments(text))),
                    text=text,
                )
            )
    found.sort(key=lambda one: (one.group, one.title))
    return {one.key: one for one in found}


def _head_comments(text: str) -> list[str]:
    """Return the comments above the first table, one to a line."""
    head = takewhile(lambda line: line.startswith("#"), text.splitlines())
    return [line.removeprefix("#").strip() for line in head]


def without_invented(comments: Sequence[str]) -> Sequence[str]:
    """Return the comments of a general circuit without the first: it says that it is invented.

    Parameters
    ----------
    comments
        Its comments, or those of its head.
    """
    return comments[1:]


def general_groups() -> list[tuple[str, list[GeneralCircuit]]]:
    """Return the groups by name, each with its circuits."""
    groups: dict[str, list[GeneralCircuit]] = {}
    for one in general_circuits().values():
        groups.setdefault(one.group, []).append(one)
    return list(groups.items())
