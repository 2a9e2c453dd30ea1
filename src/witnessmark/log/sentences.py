"""What an entry says, as a sentence made when it is read. All verbs stand here."""

from collections.abc import Callable, Mapping
from typing import Any

from witnessmark.log.models import Entry
from witnessmark.work.changes import ERASED

Facts = Mapping[str, Any]
Names = Mapping[str, str]  # id -> the name of a person, a step, a place


def sentence(entry: Entry, names: Names) -> str:
    """Return what happened, with the names that are known now.

    A verb of a later version is shown as it is, so that an old program can read a new log.
    """
    who = names.get(str(entry.actor_id), "Someone") if entry.actor_id else "The shop"
    say = _SENTENCES.get(entry.verb)
    return say(who, _Reader(entry, names)) if say else f"{who}: {entry.verb}."


class _Reader:
    """The facts of one entry, read with names."""

    def __init__(self, entry: Entry, names: Names) -> None:
        self.entry, self.names = entry, names
        self.facts = entry.facts()

    def __getitem__(self, key: str) -> Any:
        return self.facts.get(key)

    def name(self, key: str, otherwise: str = "someone") -> str:
        """Return the name of what a fact names by its id."""
        return self.names.get(str(self.facts.get(key)), otherwise)

    @property
    def subject(self) -> str:
        return self.names.get(str(self.entry.subject_id), "")

    @property
    def at_step(self) -> str:
        """Return ', step 4' where the subject is a step that is known."""
        return f", {self.subject}" if self.subject else ""

    def row(self, table: str) -> Facts:
        """Return what the entry says of the first row of one kind."""
        rows = self.entry.said_of_rows()
        return next((row for label, _, row in rows if label.endswith(f".{table}")), {})

    def typed(self, table: str, column: str) -> str:
        """Return what was typed into a column of the act's first row of one kind."""
        return self._text(self.row(table).get(column))

    def _text(self, said: Any) -> str:
        """Return the text that stands beside an entry, or that it was erased."""
        aside = said.get("aside") if isinstance(said, dict) else said
        return self.names.get(str(aside), ERASED) if aside else ""

    @property
    def value(self) -> str:
        """Return a reading as its reader gave it."""
        row = self.row("reading")
        value = row.get("word") or f"{row.get('text', '')} {row.get('unit', '')}".strip()
        return self._text(row.get("seen_aside_id")) or value

    @property
    def before(self) -> str:
        """Return the value that a reading replaces."""
        return self.names.get(str(self.row("reading").get("replaces_id")), "a value")

    @property
    def where(self) -> str:
        """Return what was read, in the step's words where they are known."""
        row = self.row("reading")
        where = f"{row.get('key', '')} {row.get('position', '')}".strip()
        return self._text(row.get("what_aside_id")) or self.names.get(where, where)

    @property
    def line(self) -> str:
        """Return a ledger line: how much of what, and where it lies."""
        row = self.row("ledgerline")
        what, place = self._text(row.get("what_aside_id")), self._text(row.get("place_aside_id"))
        return f"{_amount(row.get('quantity'), row.get('unit'), what)}, {place}"

    @property
    def moved(self) -> str:
        """Return how much of what was moved."""
        return _amount(self["quantity"], self["unit"], self.name("line", "something"))

    @property
    def digest(self) -> str:
        digest = str(self["digest"] or "")
        return f"{digest[:4]} {digest[4:8]}"

    @property
    def same(self) -> str:
        return " Same person." if self["same_person"] else ""


def _amount(quantity: Any, unit: Any, what: Any) -> str:
    return f"{quantity} {unit} of {what}" if unit else f"{quantity} × {what}"


def _people(reader: _Reader) -> str:
    people = [reader.names.get(one, "someone") for one in reader["people"] or []]
    if not people:
        return "nobody"
    return people[0] if len(people) == 1 else ", ".join(people[:-1]) + " and " + people[-1]


_HOW = {
    "taken off": "took off",
    "disconnected": "disconnected",
    "drained": "drained",
    "loosened": "loosened",
    "jumpered": "jumpered",
    "capped": "capped",
}
_CLOSED = {
    "back on": "put back",
    "new fitted": "fitted new",
    "refilled": "refilled",
    "undone": "undid",
}

_SENTENCES: dict[str, Callable[[str, _Reader], str]] = {
    "shop started": lambda who, e: f"{who} started the shop.",
    "shop changed": lambda who, e: f"{who} changed the shop's settings.",
    "repair rules set": lambda who, e: f"{who} set the shop's rules for repairs.",
    "find rules set": lambda who, e: f"{who} set the shop's rules for Find.",
    "fault rates set": lambda who, e: f"{who} set how often parts fail here.",
    "section added": lambda who, e: f"{who} added {e.typed('section', 'name')}.",
    "section changed": lambda who, e: f"{who} moved {e.subject or 'someone'} to another section.",
    "person added": lambda who, e: f"{who} added {e.subject or 'someone'}, {e['role']}.",
    "left the shop": lambda who, e: f"{who} ended the time of {e.subject or 'someone'} here.",
    "PIN set": lambda who, e: f"{who} set the PIN of {e.subject or 'someone'}.",
    "permit given": lambda who, e: f"{who} changed a permit of {e.subject or 'someone'}.",
    "device opened": lambda who, e: f"{who} opened {e.typed('device', 'name')}.",
    "device closed": lambda who, e: f"{who} closed {e.subject or 'a device'}.",
    "bay added": lambda who, e: f"{who} added {e.typed('bay', 'name')}.",
    "periods added": lambda who, e: f"{who} added {e['made']} periods.",
    "presence set": lambda who, e: f"{who} set who is in for a period: {e['presence']}.",
    "instrument added": lambda who, e: f"{who} added {e.typed('instrument', 'name')}.",
    "put in library": lambda who, e: (
        f"{who} put {e.typed('libraryitem', 'title')}, version {e['version']}, into the Library."
    ),
    "circuit kept": lambda who, e: f"{who} kept a circuit sheet half done.",
    "circuit ended": lambda who, e: f"{who} took a half-done circuit sheet off the shelf.",
    "intake kept": lambda who, e: f"{who} kept the intake half done.",
    "job opened": lambda who, e: f"{who} opened the job.",
    "complaint added": lambda who, e: f"{who} added a complaint.",
    "bay given": lambda who, e: f"{who} moved the vehicle to {e.name('bay', 'no bay')}.",
    "section given": lambda who, e: f"{who} gave the job to {e.name('section', 'a section')}.",
    "promise set": lambda who, e: f"{who} promised the vehicle for {str(e['promised'])[:10]}.",
    "sheet pinned": lambda who, e: (
        f"{who} gave the job its own copy of {e.typed('pinnedsheet', 'title')}."
    ),
    "find opened": lambda who, e: f"{who} opened Find the cause.",
    "procedure chosen": lambda who, e: (
        f"{who} chose {e.typed('pinnedsheet', 'title')}, {e['steps']} steps."
    ),
    "work opened": lambda who, e: f"{who} opened the work: the steps are checked.",
    "crew set": lambda who, e: f"{who} set the crew{e.at_step}: {_people(e)}.",
    "cautions ticked": lambda who, e: f"{who} ticked {', '.join(e['cautions'] or [])}{e.at_step}.",
    "step started": lambda who, e: f"{who} started {e.subject or 'a step'}.",
    "step finished": lambda who, e: f"{who} finished {e.subject or 'a step'}.",
    "teacher called": lambda who, e: f"{who} called the teacher{e.at_step}.",
    "teacher told": lambda who, e: f"{who} told the teacher{e.at_step}. Work went on.",
    "not marked yet": lambda who, e: f"{who} looked at {e.subject or 'a step'}: not yet.",
    "reading kept": lambda who, e: f"{who} read {e.where}, {e.value}{e.at_step}.",
    "reading corrected": lambda who, e: (
        f"{who} corrected {e.where}, {e.before} to {e.value}{e.at_step}."
    ),
    "photo added": lambda who, e: f"{who} added a photo{e.at_step}.",
    "photo replaced": lambda who, e: f"{who} replaced a photo{e.at_step}.",
    "note added": lambda who, e: f"{who} wrote a note{e.at_step}.",
    "taken off": lambda who, e: (
        f"{who} {_HOW.get(e.row('ledgerline').get('how', ''), 'took off')} {e.line}."
    ),
    "ledger line corrected": lambda who, e: f"{who} corrected the ledger: {e.line}.",
    "moved": lambda who, e: f"{who} {_CLOSED.get(e['kind'], 'moved')} {e.moved}.",
    "movement taken back": lambda who, e: (
        f"{who} took back that {e.name('line', 'something')} was {e['kind']}."
    ),
    "handover confirmed": lambda who, e: f"{who} read the handover card at the vehicle and has it.",
    "cause named": lambda who, e: f"{who} named the cause.",
    "correction written": lambda who, e: f"{who} wrote the correction.",
    "step marked": lambda who, e: f"{who} marked {e.subject or 'a step'}. {e.digest}{e.same}",
    "cause marked": lambda who, e: f"{who} marked the cause. {e.digest}{e.same}",
    "mark refused": lambda who, e: f"{who} tried to {e['what']} and was refused.",
    "released": lambda who, e: (
        f"{who} released the vehicle "
        f"{'to its owner' if e['kind'] == 'owner' else 'for a road test'}. {e.digest}{e.same}"
    ),
    "advice said": lambda who, e: f"{who} told the owner what to look after.",
    "odometer read": lambda who, e: f"{who} read the odometer: {e['odometer']}.",
    "part ordered": lambda who, e: f"{who} ordered {e.typed('partorder', 'what')}.",
    "part arrived": lambda who, e: f"{who} took in {e.subject or 'a part'}.",
    "practice set": lambda who, e: f"{who} set Practice {e['number']}.",
    "practice begun": lambda who, e: f"{who} began Practice {e['number']}.",
    "practice test done": lambda who, e: f"{who} did test {e['test']} of Practice {e['number']}.",
    "practice ranked": lambda who, e: f"{who} ranked the parts in Practice {e['number']}.",
    "practice ended": lambda who, e: f"{who} ended Practice {e['number']}.",
    "plan asked for": lambda who, e: f"{who} asked for plan {e['version']}.",
    "plan stored": lambda who, e: f"Plan {e['version']} ended: {e['status']}.",
    "plan published": lambda who, e: f"{who} published plan {e['version']}.",
    "tries counted": lambda who, e: (
        f"{who} counted {e['tries']} tries at a PIN or password: the next one waits."
    ),
    "wait ended": lambda who, e: f"{who} ended a wait: the right PIN or password came.",
    "device opened again": lambda who, e: f"{who} opened {e.subject or 'a device'} again.",
    "person erased": lambda who, e: f"{who} erased a person.",
    "owner erased": lambda who, e: f"{who} erased an owner.",
}
VERBS = frozenset(_SENTENCES)
