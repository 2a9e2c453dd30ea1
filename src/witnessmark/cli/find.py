"""The command `witnessmark find`: from a complaint to a cause, at a terminal or from a file."""

import argparse
import csv
import json
import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from witnessmark.diagnosis.building import dictionary_of
from witnessmark.diagnosis.facts import hazard_words
from witnessmark.diagnosis.find import caution, find_run
from witnessmark.diagnosis.kinds import (
    KINDS,
    LAMP,
    LAMPS,
    METER_AND_LAMP,
    VOLTS,
    Means,
    kind_named,
    means,
)
from witnessmark.diagnosis.observations import (
    Observation,
    Test,
    TestReading,
    parse_test_key,
    reading_of,
    test_key,
)
from witnessmark.diagnosis.plausible import question_about
from witnessmark.diagnosis.run import FindRun
from witnessmark.diagnosis.stop import CAUSE
from witnessmark.diagnosis.watching import asks_presence, is_there
from witnessmark.diagnosis.words import minutes_words
from witnessmark.errors import BenchError, Mistake, SheetError
from witnessmark.networks.circuit import Circuit
from witnessmark.sheets.circuit import read_circuit

COLUMNS: Final = ("what", "where", "state", "value", "reference", "present")
NEEDED: Final = ("what", "where", "value")
PRESENT: Final = {"": None, "unsure": None, "yes": True, "no": False}
OFTEN: Final = {"": None, "sometimes": True, "always": False}
AWAY: Final = "a "  # before an answer: the complaint was away
WORDS: Final = {outcome: kind.name for kind in KINDS.values() for outcome in kind.outcomes}

EPILOG: Final = """
The readings file is a CSV with a heading line. Columns:
  what       complaint; or volts, lamp, led, ohms, clamp, wiggle, watch, look, heat, swap,
             jumper
  where      key of the complaint, letter of the point, or name of the part
  state      operating state during the test; empty: that of the first complaint; ohms and look
             have none
  value      complaint: customer (the customer says) or here (seen here);
             volts, ohms, clamp: what the meter shows, 12.4 or 12,4 V or 180 mV, ohms also open;
             lamp, led: lit, dim or dark; wiggle: changes or steady; look: bad or sound;
             watch: as it should or not as it should; heat: hot or cool;
             swap, jumper: works or no change
  reference  letter of the other probe's point; empty: the battery's negative post
  present    yes, no or unsure: was the complaint there during the test; of a complaint: always, or
             sometimes where it comes and goes; empty: nobody said
The last three may be left out.

--tools names what is at hand (default: meter, test lamp); every other test is left out:
  meter, "test lamp", "LED tester", "clamp meter", "eyes and hands", "known-good part",
  "fused jumper lead" (needs --permits "live circuits")

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
    means: Means = METER_AND_LAMP


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
    parser.add_argument(
        "--sometimes", metavar="KEY", nargs="+", default=[], help="those of them that come and go"
    )
    parser.add_argument("--readings", metavar="FILE.csv", type=Path, help="readings to judge")
    parser.add_argument("--tools", metavar="TOOL", nargs="+", help="what is at hand")
    parser.add_argument("--permits", metavar="PERMIT", nargs="+", default=[], help="held permits")
    parser.add_argument("--json", action="store_true", help="print the answer for a program")
    parser.set_defaults(run=run)


def run(asked: argparse.Namespace) -> int:
    """Run the command."""
    circuit = read_circuit(asked.sheet.read_text(encoding="utf-8"), asked.sheet.name)
    if words := hazard_words(circuit):
        print(words, file=sys.stderr)
        return 2
    entries = Entries(
        complaints=[
            Observation(complaint=key, comes_and_goes=True if key in asked.sometimes else None)
            for key in dict.fromkeys([*asked.complaints, *asked.sometimes])
        ]
    )
    if asked.tools or asked.permits:
        entries.means = means(asked.tools or METER_AND_LAMP.tools, asked.permits)
    if asked.readings:
        text = asked.readings.read_text(encoding="utf-8-sig")
        read_csv(text, asked.readings.name, circuit, entries)
        result = found_so_far(circuit, entries)
    elif asked.json:
        result = found_so_far(circuit, entries)
    else:
        result = ask(circuit, entries, input)
    if asked.json:
        json.dump(result.as_json(), sys.stdout, indent=2, ensure_ascii=False)
        print()
    else:
        print(told(result))
    return 0 if result.stop.kind == CAUSE else 1


def found_so_far(circuit: Circuit, entries: Entries) -> FindRun:
    """Return the run for what was said and read."""
    return find_run(
        circuit, entries.complaints, entries.readings, entries.out_of_reach, entries.means
    )


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
        often = cells["present"].lower()
        if often not in OFTEN:
            raise BenchError(
                f'Of a complaint, the column "present" says "{cells["present"]}".',
                "It must be always, sometimes or empty.",
                "Say whether the complaint comes and goes.",
            )
        said = Observation(
            complaint=cells["where"],
            source=cells["value"].lower() or "customer",
            comes_and_goes=OFTEN[often],
        )
        find_run(circuit, [said])
        entries.complaints.append(said)
        return
    if cells["present"].lower() not in PRESENT:
        raise BenchError(
            f'The column "present" says "{cells["present"]}".',
            "It must be yes, no, unsure or empty.",
            "Say whether the complaint was there during the test.",
        )
    kind = kind_named(what)
    state = cells["state"] or first_state(circuit, entries)
    if not kind.in_state and not cells["state"]:
        state = ""
    key = test_key(kind.name, cells["where"], state, cells["reference"])
    present = PRESENT[cells["present"].lower()]
    taken = reading_of(parse_test_key(key), str(line), cells["value"], present=present)
    find_run(circuit, entries.complaints, [taken])
    entries.readings.append(taken)


def first_state(circuit: Circuit, entries: Entries) -> str:
    """Return the state of the first complaint, or the sheet's first state."""
    for complaint in circuit.complaints:
        if entries.complaints and complaint.key == entries.complaints[0].complaint:
            return complaint.state
    return circuit.states[0].name


def ask(circuit: Circuit, entries: Entries, answer: Callable[[str], str]) -> FindRun:
    """Ask for complaints and readings until the cause can be named or nobody answers."""
    try:
        if not entries.complaints:
            _ask_complaint(circuit, entries, answer)
        result = found_so_far(circuit, entries)
        while (advice := result.next_test) is not None:
            print(f"\n{advice.sentence} ({minutes_words(advice.minutes)})\n{advice.why}")
            if careful := caution(circuit, advice.state, complaints=entries.complaints):
                print(f"Caution: {careful}")
            _ask_reading(circuit, entries, result, answer)
            result = found_so_far(circuit, entries)
            print("  " + ", ".join(f"{s.words} {s.percent}" for s in result.belief[:3]))
    except EOFError:
        print()
    return found_so_far(circuit, entries)


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
    kind = KINDS[advice.kind]
    ways = [f"in {kind.unit}"] if kind.unit else []
    ways += [
        choice.words if choice.words == choice.outcome else f"{choice.outcome}: {choice.words}"
        for choice in advice.choices
    ]
    if advice.kind == VOLTS:
        ways.append("lit, dim or dark by test lamp")
    advised = parse_test_key(advice.key)
    if asks_presence(book, advised, entries.complaints):
        ways.append("a before it: complaint away")
    unless_away = is_there(book, advised, entries.complaints, result.not_there) or None
    while True:
        said = answer(f"{advice.label} ({'; '.join(ways)}; x out of reach, u undo): ").strip()
        if said == "x":
            entries.out_of_reach.append(advice.point or advice.part)
            return
        if said == "u":
            if entries.readings:
                entries.readings.pop()
            return
        is_away = said.lower().startswith(AWAY)
        text = said[len(AWAY) :].strip() if is_away else said
        test = advised
        if test.kind == VOLTS and WORDS.get(text.lower()) in LAMPS:
            test = Test(kind=LAMP, point=test.point, state=test.state)
        try:
            number = str(len(entries.readings) + 1)
            taken = reading_of(test, number, text, present=False if is_away else unless_away)
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
    lines += [
        f"{'Questioned: ' if r.questioned else ''}{r.where} read {r.text}. {r.note}"
        for r in result.readings
        if r.note
    ]
    lines += [result.common.sentence] if result.common.sentence else []
    lines += [f"Not explained: {words}" for words in result.unexplained]
    lines += [twins.sentence for twins in result.twins]
    if result.stop.headline:
        lines.append(f"Cause: {result.stop.headline}.")
    lines.append(result.stop.sentence)
    lines += [proof.sentence for proof in result.proof]
    if result.next_test is not None:
        advice = result.next_test
        lines.append(f"Next: {advice.sentence} ({minutes_words(advice.minutes)})")
        lines.append(advice.why)
    return "\n".join(lines)
