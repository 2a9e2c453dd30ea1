"""The complaints of a job, each said once: not again where somebody said more of the same."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from witnessmark.record.models import Complaint

TRUSTS = tuple(dict(Complaint.TRUSTS))  # the owner first


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What is complained of, and who says it: the owner, somebody here, or both."""

    who: str
    words: str


def told_once(rows: Iterable[Complaint]) -> list[Said]:
    """Return the complaints that stand, in the order of the record.

    Words that stand inside longer ones of the same mouth are left out, as where a part of what the
    owner said was written beside the sheet; the same words of two mouths stand on one line.
    """
    standing = [row for row in rows if row.is_standing]
    whole = [row for row in standing if not _is_inside_another(row, standing)]
    by_words: dict[str, list[Complaint]] = {}
    for row in whole:
        by_words.setdefault(_plain(row.words), []).append(row)
    return [Said(who=_who(same), words=same[0].words) for same in by_words.values()]


def _who(same: list[Complaint]) -> str:
    said = sorted(same, key=lambda row: TRUSTS.index(row.trust))
    return " and ".join(dict.fromkeys(row.who for row in said)).capitalize()


def _is_inside_another(row: Complaint, rows: Iterable[Complaint]) -> bool:
    own = _plain(row.words)
    return any(
        own != (other := _plain(one.words)) and re.search(rf"(?<!\w){re.escape(own)}(?!\w)", other)
        for one in rows
        if one.trust == row.trust
    )


def _plain(words: str) -> str:
    return " ".join(words.casefold().split()).rstrip(".!?")
