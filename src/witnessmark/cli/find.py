"""The command `witnessmark find`: from a complaint to a cause, at a terminal or from a file."""

import argparse
import csv
import json
import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from witnessmark.diagnosis.find import caution, dictionary_of, find_run
from witnessmark.diagnosis.observations import LAMP, VOLTS, Observation, TestReading
from witnessmark.diagnosis.plausible import question_about
from witnessmark.diagnosis.run import FindRun
from witnessmark.diagnosis.sentences import minutes_words
from witnessmark.diagnosis.stop import CAUSE
from witnessmark.errors import BenchError, Mistake, SheetError
from witnessmark.networks.circuit import Circuit
from witnessmark.quantities import parse
from witnessmark.sheets.circuit import read_circuit

COLUMNS: Final = ("what", "where", "state", "value", "reference", "present")
NEEDED: Final = ("what", "where", "value")
PRESENT: Final = {"": None, "yes": True, "no": False}
LAMP_LETTERS: Final = {"l": "lit", "m": "dim", "d": "dark", "lit": "lit", "dim": "dim"}
LAMP_WORDS: Final = LAMP_LETTERS | {"dark": "dark"}

EPILOG: Final = """
The readings file is a CSV with a heading line. Columns:
  what       complaint, volts or lamp
  where      key of the complaint, or letter of the point
  state      operating state during the test; empty: that of the first complaint
  value      complaint: customer (the customer says) or here (seen here);
             volts: what the meter shows, 12.4 or 12,4 V or 180 mV; lamp: lit, dim or dark
  reference  letter of the other probe's point; empty: the battery's negative post
  present    yes or no: was the complaint there during the test; empty: nobody said
The last three may be left out.

example:
  what,where,state,value
  complaint,slow,,customer
  volts,A,run,12.5
  volts,D,run,12.2

  witnessmark find fan.toml --complaints slow
  witnessmark find fan.toml --readings fan.csv --json

It ends with 0 when a cause can be named, 1 when not, 2 when the input needs mending.
"""


@dataclass
class Entries:
    """What was said and read so far."""

    complaints: list[Observation] = field(default_factory=list)
    readings: list[TestReading] = field(default_factory=list)
    out_of_reach: list[str] = field(default_factory=list)


def add_to(subparsers: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command to the parser."""
    parser = subparsers.add_parser(
        "find",
        help="find the cause of a complaint, test by test",
        description="Ask for readings, the most telling one per minute first, until the cause "
        "of a complaint can be named. With --readings, judge a file of readings instead.",
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("sheet", metavar="SHEET", type=Path, help="circuit sheet (TOML)")
    parser.add_argument(
        "--complaints", metavar="KEY", nargs="+", default=[], help="complaints the customer has"
    )
    parser.add_argument("--readings", metavar="FILE.csv", type=Path, help="readings to judge")
    parser.add_argument("--json", action="store_true", help="print the answer for a program")
    parser.set_defaults(run=run)


def run(asked: argparse.Namespace) -> int:
    """Run the command."""
    circuit = read_circuit(asked.sheet.read_text(encoding="utf-8"), asked.sheet.name)
    entries = Entries(complaints=[Observation(complaint=key) for key in asked.complaints])
    if asked.readings:
        text = asked.readings.read_text(encoding="utf-8-sig")
        read_csv(text, asked.readings.name, circuit, entries)
        result = find_run(circuit, entries.complaints, entries.readings)
    elif asked.json:
        result = find_run(circuit, entries.complaints, entries.readings)
    else:
        result = ask(circuit, entries, input)
    if asked.json:
        json.dump(result.as_json(), sys.stdout, indent=2, ensure_ascii=False)
        print()
    else:
        print(told(result))
    return 0 if result.stop.kind == CAUSE else 1


def read_csv(text: str, name: str, circuit: Circuit, entries: Entries) -> None:
    """Add the complaints and readings of a file; report every mistake with its line."""
    rows = csv.DictReader(text.splitlines())
    heading = [column.strip() for column in rows.fieldnames or ()]
    missing = [column for column in NEEDED if column not in heading]
    unknown = [column for column in heading if column not in COLUMNS]
    if missing or unknown:
        wrong = f"the columns {', '.join(heading) or 'none'}"
        mistake = Mistake(
            line=1,
            found=f"The heading has {wrong}.",
            needed=f"It must have {', '.join(NEEDED)}, and may have "
            f"{', '.join(column for column in COLUMNS if column not in NEEDED)}.",
            do="Mend the first line.",
        )
        raise SheetError(name, [mistake])
    rows.fieldnames = heading
    mistakes = []
    for row in rows:
        cells = {column: (row.get(column) or "").strip() for column in COLUMNS}
        if not any(cells.values()):
            continue
        try:
            _add(cells, rows.line_num, circuit, entries)
        except BenchError as error:
            mistakes.append(
                Mistake(line=rows.line_num, found=error.found, needed=error.needed, do=error.do)
            )
    if mistakes:
        raise SheetError(name, mistakes)


def _add(cells: dict[str, str], line: int, circuit: Circuit, entries: Entries) -> None:
    what = cells["what"].lower()
    if what == "complaint":
        said = Observation(complaint=cells["where"], source=cells["value"].lower() or "customer")
        find_run(circuit, [said])
        entries.complaints.append(said)
        return
    if cells["present"].lower() not in PRESENT:
        raise BenchError(
            f'The column "present" says "{cells["present"]}".',
            "It must be yes, no or empty.",
            "Say whether the complaint was there during the test.",
        )
    taken = reading(
        number=line,
        kind=what,
        point=cells["where"],
        state=cells["state"] or first_state(circuit, entries),
        text=cells["value"],
        reference=cells["reference"],
        present=PRESENT[cells["present"].lower()],
    )
    find_run(circuit, entries.complaints, [taken])
    entries.readings.append(taken)


def first_state(circuit: Circuit, entries: Entries) -> str:
    """Return the state of the first complaint, or the sheet's first state."""
    for complaint in circuit.complaints:
        if entries.complaints and complaint.key == entries.complaints[0].complaint:
            return complaint.state
    return circuit.states[0].name


def reading(
    number: int,
    kind: str,
    point: str,
    state: str,
    text: str,
    reference: str = "",
    present: bool | None = None,
) -> TestReading:
    """Return one reading from its text."""
    return TestReading(
        id=str(number),
        kind=kind,
        point=point,
        state=state,
        reference=reference,
        text=text,
        quantity=parse(text, "V") if kind == VOLTS else None,
        outcome=LAMP_WORDS.get(text.lower(), text) if kind == LAMP else "",
        present=present,
    )


def ask(circuit: Circuit, entries: Entries, answer: Callable[[str], str]) -> FindRun:
    """Ask for complaints and readings until the cause can be named or nobody answers."""
    try:
        if not entries.complaints:
            _ask_complaint(circuit, entries, answer)
        result = find_run(circuit, entries.complaints, entries.readings)
        while (advice := result.next_test) is not None:
            print(f"\n{advice.sentence} ({minutes_words(advice.minutes)})\n{advice.why}")
            if careful := caution(circuit, advice.state):
                print(f"Caution: {careful}")
            _ask_reading(circuit, entries, result, answer)
            result = find_run(circuit, entries.complaints, entries.readings, entries.out_of_reach)
            print("  " + ", ".join(f"{s.words} {s.percent}" for s in result.belief[:3]))
    except EOFError:
        print()
    return find_run(circuit, entries.complaints, entries.readings, entries.out_of_reach)


def _ask_complaint(circuit: Circuit, entries: Entries, answer: Callable[[str], str]) -> None:
    print("What is the complaint?")
    for number, complaint in enumerate(circuit.complaints, start=1):
        print(f"  {number}  {complaint.words}")
    while circuit.complaints:
        said = answer("Number, or Enter for none: ").strip()
        if not said:
            return
        if said.isdecimal() and 1 <= int(said) <= len(circuit.complaints):
            key = circuit.complaints[int(said) - 1].key
            entries.complaints.append(Observation(complaint=key))
            return
        print(f"There are the numbers 1 to {len(circuit.complaints)}.")


def _ask_reading(
    circuit: Circuit, entries: Entries, result: FindRun, answer: Callable[[str], str]
) -> None:
    """Ask for one reading until it can be used; "x" and "u" change what is asked instead.

    One that no fault on the sheet gives is asked about, and kept when it is entered again.
    """
    advice = result.next_test
    assert advice is not None
    book, asked_about = dictionary_of(circuit), ""
    lamp = "lit, dim or dark" if advice.kind == LAMP else "volts; or lit, dim, dark by test lamp"
    while True:
        said = answer(f"{advice.label} ({lamp}; x out of reach, u undo): ").strip()
        if said == "x":
            entries.out_of_reach.append(advice.point)
            return
        if said == "u":
            if entries.readings:
                entries.readings.pop()
            return
        kind = LAMP if said.lower() in LAMP_WORDS else advice.kind
        reference = advice.reference if kind == advice.kind else ""
        try:
            taken = reading(
                len(entries.readings) + 1, kind, advice.point, advice.state, said, reference
            )
            find_run(circuit, entries.complaints, [taken])
            question = question_about(book, taken)
            if question is not None and said != asked_about:
                asked_about = said
                raise question
        except BenchError as error:
            print(error)
            continue
        entries.readings.append(taken)
        return


def told(result: FindRun) -> str:
    """Return the result as text."""
    lines = ["Suspects"]
    lines += [f"  {share.percent:>9}  {share.words}" for share in result.belief[:6]]
    lines += [f"Questioned: {r.where} read {r.text}. {r.note}" for r in result.readings if r.note]
    lines += [f"Not explained: {words}" for words in result.unexplained]
    lines += [f"No test here parts {' from '.join(parts)}." for parts in result.twins]
    if result.stop.headline:
        lines.append(f"Cause: {result.stop.headline}.")
    lines.append(result.stop.sentence)
    lines += [proof.sentence for proof in result.proof]
    if result.next_test is not None:
        advice = result.next_test
        lines.append(f"Next: {advice.sentence} ({minutes_words(advice.minutes)})")
        lines.append(advice.why)
    return "\n".join(lines)
