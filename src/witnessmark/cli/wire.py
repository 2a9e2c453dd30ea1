"""`witnessmark wire`: size a wire, choose a fuse, check a pair, list the sizes."""

import argparse
import json
from collections.abc import Sequence
from typing import Any

from witnessmark.errors import BenchError
from witnessmark.papers.fuse_table import Mark, fuse_table
from witnessmark.quantities import parse
from witnessmark.wiring.ampacity import Place, ampacity
from witnessmark.wiring.choosing import Load, choose_fuse
from witnessmark.wiring.drop import LIMIT_SETS, DropLimits, circular_mils, drop_limits, own_limits
from witnessmark.wiring.fuses import Fuse, FuseKind, fuse_of
from witnessmark.wiring.heating import heating_of
from witnessmark.wiring.insulation import INSULATIONS, insulation
from witnessmark.wiring.links import check_link, link_for
from witnessmark.wiring.protection import Guard, Protection, check_protection, check_stall
from witnessmark.wiring.sizes import System, parse_size, sizes_of
from witnessmark.wiring.sizing import Run, SizeRow, Sizing, size_wire
from witnessmark.wiring.sources import DISAGREEMENTS

YES, NO = 0, 1
KINDS = {kind.name.lower(): kind for kind in FuseKind}
SYSTEMS = {"awg": System.AWG, "sae": System.SAE, "mm2": System.METRIC}
FOOT = "ft"

EPILOG = """
examples:
  witnessmark wire size 10A 6.4m --limits boat-critical --insulation pvc-105 --system awg
  witnessmark wire size 8A 5m --air 50C --bundle 4 --was 1.5mm2 --fuse 10A
  witnessmark wire fuse 8A --starting 45A --seconds 0.1s
  witnessmark wire check 30A 14AWG --insulation pvc-80 --stalled 45A
  witnessmark wire link 10AWG
  witnessmark wire sizes --system sae

A size needs its system: 14AWG, SAE14 or 2.5mm2; SAE wire has up to 13 % less copper than AWG.
The length is that of the wire: there and back where a wire leads back. Values without a unit are
taken in A, m, V, °C, s. The vehicle maker's service information comes before this answer.
"""


def add_to(subparsers: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command and its questions to the parser."""
    parser = subparsers.add_parser(
        "wire",
        help="size a wire, choose a fuse, check that one protects the other",
        description=(
            "Size a repair that does not burn again. Exit code 0: found, or yes. 1: the answer "
            "is no. 2: the input needs mending."
        ),
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    asks = parser.add_subparsers(title="questions", metavar="QUESTION", required=True)

    size = _question(asks, "size", "the thinnest wire that does, and why no thinner one", run_size)
    size.add_argument("current", metavar="CURRENT", help="what flows for long: 10A")
    size.add_argument("length", metavar="LENGTH", help="length of wire, there and back: 6.4m, 21ft")
    limits = ", ".join(one.key for one in LIMIT_SETS)
    size.add_argument(
        "--limits", default="accessory", metavar="SET", help=f"what it may lose: {limits}"
    )
    size.add_argument("--drop", metavar="VOLTS", help="the shop's own limit instead of a set")
    size.add_argument("--supply", default="12V", metavar="VOLTS", help="of the system; 12 V")
    size.add_argument("--was", metavar="SIZE", help="the wire that was there")
    size.add_argument(
        "--system", choices=SYSTEMS, help="sizes to choose from; those of --was, or else mm2"
    )
    size.add_argument("--fuse", metavar="AMPS", help="the fuse that feeds it")
    _takes_kind(size)
    _takes_place(size)

    fuse = _question(asks, "fuse", "the smallest fuse that carries a load", run_fuse)
    fuse.add_argument("current", metavar="CURRENT", help="what the load takes for long: 8A")
    fuse.add_argument("--starting", metavar="AMPS", help="what flows while the load starts")
    fuse.add_argument("--seconds", default="0.1s", metavar="TIME", help="for how long; 0.1 s")
    fuse.add_argument("--share", default="80%", metavar="PERCENT", help="of its rating; 80 %%")
    fuse.add_argument("--air", default="25C", metavar="DEGREES", help="round the fuse; 25 °C")
    _takes_kind(fuse)

    check = _question(asks, "check", "whether a fuse protects a wire", run_check)
    check.add_argument("fuse", metavar="FUSE", help="its rating: 30A")
    check.add_argument("size", metavar="SIZE", help="the thinnest wire behind it: 14AWG")
    check.add_argument("--stalled", metavar="AMPS", help="what a motor takes that is held still")
    _takes_kind(check)
    _takes_place(check)

    link = _question(asks, "link", "the fusible link for a wire", run_link)
    link.add_argument("size", metavar="SIZE", help="the wire to protect: 10AWG")
    _takes_insulation(link)

    sizes = _question(asks, "sizes", "sizes with copper, resistance and amps", run_sizes)
    sizes.add_argument("--system", choices=SYSTEMS, default="mm2", help="whose sizes; mm2")
    _takes_place(sizes)


def _question(
    asks: "argparse._SubParsersAction[argparse.ArgumentParser]", name: str, words: str, run: Any
) -> argparse.ArgumentParser:
    parser = asks.add_parser(
        name,
        help=words,
        description=f"{words[:1].upper()}{words[1:]}.",
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--json", action="store_true", help="print the answer for a program")
    parser.set_defaults(run=run)
    return parser


def _takes_kind(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--kind", choices=KINDS, default="standard", help="size of blade fuse")


def _takes_insulation(parser: argparse.ArgumentParser) -> None:
    keys = ", ".join(one.key for one in INSULATIONS)
    parser.add_argument(
        "--insulation", default="unknown", metavar="KIND", help=f"of the wire: {keys}"
    )


def _takes_place(parser: argparse.ArgumentParser) -> None:
    _takes_insulation(parser)
    parser.add_argument(
        "--air", default="30C", metavar="DEGREES", help="round the wire; engine space 50C; 30 °C"
    )
    parser.add_argument(
        "--bundle", default="1", metavar="COUNT", help="wires that carry current in its bundle"
    )


def run_size(asked: argparse.Namespace) -> int:
    """Print the thinnest wire that passes every test."""
    was = parse_size(_spaced(asked.was)) if asked.was else None
    system = SYSTEMS[asked.system] if asked.system else was.system if was else System.METRIC
    run = Run(
        current_a=_in(asked.current, "A"),
        length_m=_in(asked.length, "m"),
        supply_v=_in(asked.supply, "V"),
        limits=_limits(asked),
        cover=insulation(asked.insulation),
        place=_place(asked),
        system=system,
        replaces=was,
        fuse=_fuse(asked.fuse, asked.kind) if asked.fuse else None,
    )
    found = size_wire(run)
    if asked.json:
        _print_json(_sizing_json(found))
    else:
        print("\n".join(_sizing_told(found)))
    return NO if found.answer is None else YES


def run_fuse(asked: argparse.Namespace) -> int:
    """Print the smallest fuse that carries a load and lets it start."""
    load = Load(
        current_a=_in(asked.current, "A"),
        starting_a=_in(asked.starting, "A") if asked.starting else 0.0,
        starting_s=_in(asked.seconds, "s") if asked.starting else 0.0,
        temperature_c=_in(asked.air, "°C"),
        share=_in(asked.share, "%") / 100,
    )
    found = choose_fuse(load, KINDS[asked.kind])
    if asked.json:
        _print_json(
            {
                "fuse_a": found.fuse and found.fuse.rating_a,
                "kind": KINDS[asked.kind].value,
                "colour": found.fuse and found.fuse.colour,
                "sentence": found.sentence,
                "why_not_smaller": found.why_not_smaller,
                "sources": [str(source) for source in found.sources],
            }
        )
    else:
        print(found.sentence)
        if found.fuse is not None:
            if found.why_not_smaller:
                print(f"Why no smaller one: {found.why_not_smaller}")
            print("Read the moulded number: a colour alone decides nothing.")
        print("\n".join(f"Source: {source}." for source in found.sources))
    return NO if found.fuse is None else YES


def run_check(asked: argparse.Namespace) -> int:
    """Print whether a fuse protects a wire, and what a held motor does."""
    wire = heating_of(parse_size(_spaced(asked.size)), insulation(asked.insulation), _place(asked))
    fuse = _fuse(asked.fuse, asked.kind)
    found = check_protection(fuse, wire)
    stall = check_stall(fuse, wire, _in(asked.stalled, "A")) if asked.stalled else None
    is_no = found.guard is Guard.DOES_NOT or (stall is not None and not stall.wire_is_safe)
    if asked.json:
        _print_json(
            _protection_json(found)
            | {
                "stall": stall
                and {
                    "current_a": stall.current_a,
                    "opens_least_s": _finite(stall.least_s),
                    "opens_most_s": stall.most_s,
                    "hurt_s": stall.hurt_s,
                    "wire_is_safe": stall.wire_is_safe,
                    "sentence": stall.sentence,
                }
            }
        )
    else:
        lines = [*found.sentences, f"The wire carries {wire.amps.words} for years."]
        if stall is not None:
            lines.append(stall.sentence)
        marks = [] if stall is None else [Mark(words="held still", current_a=stall.current_a)]
        lines += ["", *_band_told(found, marks), "", f"Fuse: {fuse.band.source}."]
        print("\n".join(lines))
    return NO if is_no else YES


def run_link(asked: argparse.Namespace) -> int:
    """Print the fusible link for a wire, and what it does in a short circuit."""
    wire = parse_size(_spaced(asked.size))
    found = check_link(link_for(wire), wire, insulation(asked.insulation))
    if asked.json:
        _print_json(
            {
                "link": found.link.label,
                "wire": found.wire.label,
                "melts_a2s": found.melts_a2s,
                "hurts_a2s": found.hurts_a2s,
                "melts_first": found.is_first,
                "sentence": found.sentence,
            }
        )
    else:
        print(
            f"{found.link.label}: four gauge numbers smaller than {wire.label}. Replace a link by "
            "one of the same gauge and length, made as a link."
        )
        print(found.sentence)
    return YES if found.is_first else NO


def run_sizes(asked: argparse.Namespace) -> int:
    """Print the sizes of a system, and where sources disagree."""
    sizes = sizes_of(SYSTEMS[asked.system])
    cover, place = insulation(asked.insulation), _place(asked)
    amps = [ampacity(size, cover, place) for size in sizes]
    if asked.json:
        _print_json(
            {
                "sizes": [
                    {
                        "size": size.label,
                        "area_mm2": size.area_mm2,
                        "ohm_per_m": size.ohm_per_m,
                        "amps": found.allowed_a,
                        "source": str(size.source),
                    }
                    for size, found in zip(sizes, amps, strict=True)
                ],
                "disagreements": [
                    {"about": d.about, "follows": d.follows, "against": d.against, "why": d.why}
                    for d in DISAGREEMENTS
                ],
            }
        )
        return YES
    rows = [("size", "copper mm²", "mΩ/m at 20 °C", "amps")]
    rows += [
        (size.label, f"{size.area_mm2:.3g}", f"{size.ohm_per_m * 1000:.3g}", f"{a.allowed_a:.3g}")
        for size, a in zip(sizes, amps, strict=True)
    ]
    print(f"Amps: {cover.words}; air {place.temperature_c:g} °C, {place.wires} in the bundle.")
    print("\n".join(_table(rows)))
    print("\nWhere sources disagree, and which is followed")
    for one in DISAGREEMENTS:
        print(f"  {one.about}: {one.follows}. Against: {one.against}. Why: {one.why}.")
    return YES


def _in(text: str, unit: str) -> float:
    return parse(_spaced(text), unit).to(unit)


def _spaced(text: str) -> str:
    """What a person writes on a command line without blanks: 50C is °C, SAE14 is SAE 14."""
    plain = text.strip()
    if plain[:3].upper() == "SAE":
        return f"SAE {plain[3:].strip()}"
    return f"{plain[:-1]} °C" if plain[-1:] in "Cc" and plain[:-1].strip(" °") else plain


def _place(asked: argparse.Namespace) -> Place:
    if not asked.bundle.isdigit():
        raise BenchError(
            f"“{asked.bundle}” is not a number of wires.",
            "A bundle has one wire or more.",
            "Count the wires that carry current at the same time, this one too.",
        )
    return Place(words="there", temperature_c=_in(asked.air, "°C"), wires=int(asked.bundle[:6]))


def _limits(asked: argparse.Namespace) -> DropLimits:
    return own_limits(_in(asked.drop, "V")) if asked.drop else drop_limits(asked.limits)


def _fuse(text: str, kind: str) -> Fuse:
    return fuse_of(KINDS[kind], _in(text, "A"))


def _sizing_told(found: Sizing) -> list[str]:
    run = found.run
    lines = [found.sentence, ""]
    if found.answer is not None:
        lines += [f"  {check.name}: {check.sentence} ({check.source})" for check in _checks(found)]
        lines += ["Why no thinner one:", *(f"  {why}" for why in found.why_not_thinner)]
        if found.answer.note:
            lines.append(found.answer.note)
    rows = [("size", "drop V", "carries A", "passes")]
    rows += [
        (
            row.size.label,
            f"{row.drop_v:.3g}",
            f"{row.heating.amps.allowed_a:.3g}",
            "yes" if row.passed else f"no: {', '.join(c.name.lower() for c in row.failed)}",
        )
        for row in found.rows
    ]
    lines += ["", *_table(rows), ""]
    mils = circular_mils(
        run.current_a, run.length_m / parse(f"1 {FOOT}").to("m"), _allowed_v(found)
    )
    lines.append(
        f"By the trade's formula, CM = 10.75 × I × L / E: {mils:.0f} circular mils for the drop."
    )
    return lines


def _checks(found: Sizing) -> Sequence[Any]:
    return () if found.answer is None else found.answer.checks


def _allowed_v(found: Sizing) -> float:
    return found.run.limits.allowed_v(found.run.supply_v)


def _sizing_json(found: Sizing) -> dict[str, Any]:
    return {
        "answer": found.answer and found.answer.size.label,
        "sentence": found.sentence,
        "why_not_thinner": list(found.why_not_thinner),
        "allowed_drop_v": _allowed_v(found),
        "limit_source": str(found.run.limits.source),
        "sizes": [_row_json(row) for row in found.rows],
    }


def _row_json(row: SizeRow) -> dict[str, Any]:
    return {
        "size": row.size.label,
        "area_mm2": row.size.area_mm2,
        "drop_v": row.drop_v,
        "carries_a": row.heating.amps.allowed_a,
        "passes": row.passed,
        "tests": [
            {
                "name": check.name,
                "passed": check.passed,
                "sentence": check.sentence,
                "source": str(check.source),
            }
            for check in row.checks
        ],
        "note": row.note,
    }


def _protection_json(found: Protection) -> dict[str, Any]:
    slow = found.slow
    return {
        "fuse": found.fuse.label,
        "wire": found.wire.size.label,
        "answer": found.guard.value,
        "sentences": list(found.sentences),
        "wire_carries_a": found.wire.amps.allowed_a,
        "not_protected_a": [[gap.from_a, gap.to_a] for gap in found.gaps],
        "slow_overload_a": None if slow is None else [slow.from_a, slow.to_a],
    }


def _band_told(found: Protection, marks: Sequence[Mark]) -> list[str]:
    rows = [("current", "what it is", "fuse opens", "wire hurt after", "so it is")]
    rows += [(r.current, r.words, r.opens, r.hurt, r.verdict) for r in fuse_table(found, marks)]
    return _table(rows)


def _table(rows: Sequence[Sequence[str]]) -> list[str]:
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return [
        "  " + "  ".join(cell.ljust(wide) for cell, wide in zip(row, widths, strict=True)).rstrip()
        for row in rows
    ]


def _finite(time_s: float) -> float | None:
    return None if time_s == float("inf") else time_s


def _print_json(answer: dict[str, Any]) -> None:
    print(json.dumps(answer, indent=2, ensure_ascii=False))
