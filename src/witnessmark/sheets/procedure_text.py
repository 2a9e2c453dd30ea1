"""Procedures written as the text that people read, share and keep."""

from collections.abc import Mapping
from typing import Any

from witnessmark.work.steps import Closing, Hold, How, Phase, Procedure, Step, StepKind


def write_procedure(procedure: Procedure) -> str:
    """Return a procedure as the TOML text that `read_procedure` reads.

    Parameters
    ----------
    procedure
        The procedure.

    Returns
    -------
    str
        One heading for each step; entries with their usual value are left out.
    """
    lines = [
        "[procedure]",
        *_entries(procedure, {"about": ""}, ("key", "title", "source", "about")),
    ]
    for advice in procedure.advice:
        lines += ["", "[[advice]]", *_entries(advice, {}, ("key", "text"))]
    for step in procedure.steps:
        lines += ["", *_step_lines(step)]
    return "\n".join(lines) + "\n"


def _step_lines(step: Step) -> list[str]:
    lines = ["[[steps]]", *_entries(step, {}, ("key", "title", "minutes"))]
    usual = {"kind": StepKind.WORK, "hold": Hold.NONE, "wait_after_min": 0}
    lines += _entries(step, usual, ("kind", "hold"))
    if step.hold_min != 5:
        lines.append(f"hold_minutes = {step.hold_min}")
    if (step.people_min, step.people_max) != (1, 2):
        alone = step.people_min == step.people_max
        many = f'"{step.people_min} to {step.people_max}"'
        lines.append(f"people = {step.people_min if alone else many}")
    if step.wait_after_min:
        lines.append(f"wait_after_minutes = {step.wait_after_min}")
    lists = ("needs", "covers", "operations", "cautions", "skills", "permits", "tools", "practice")
    lines += _entries(step, {}, (*lists, "instructions"))
    for photo in step.photos:
        lines += ["[[steps.photos]]", *_entries(photo, {}, ("key", "what"))]
    for one in step.measurements:
        lines += ["[[steps.measure]]", *_entries(one, {}, ("key", "what", "unit"))]
        renamed = (
            ("limit", one.limit_text),
            ("source", one.source),
            ("when", "" if one.phase is Phase.AS_LEFT else str(one.phase)),
            ("instrument", one.instrument),
            ("at", one.positions),
        )
        lines += [f"{key} = {_toml(value)}" for key, value in renamed if value]
    for off in step.off:
        usual_off = {"how": How.TAKEN_OFF, "quantity": "1", "unit": "", "one_use": False}
        names = ("key", "what", "how", "quantity", "unit", "one_use")
        lines += ["[[steps.off]]", *_entries(off, usual_off, names)]
    for on in step.on:
        usual_on = {"kind": Closing.BACK_ON, "quantity": ""}
        lines += ["[[steps.on]]", *_entries(on, usual_on, ("key", "kind", "quantity"))]
    return lines


def _entries(value: Any, usual: Mapping[str, Any], names: tuple[str, ...]) -> list[str]:
    found = {name: getattr(value, name) for name in names}
    return [
        f"{name} = {_toml(one)}"
        for name, one in found.items()
        if one != () and not (name in usual and usual[name] == one)
    ]


def _toml(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value)
    if isinstance(value, tuple):
        return "[" + ", ".join(_toml(one) for one in value) + "]"
    return '"' + "".join(_escaped(sign) for sign in str(value)) + '"'


def _escaped(sign: str) -> str:
    if sign in '"\\':
        return "\\" + sign
    return f"\\u{ord(sign):04X}" if ord(sign) < 32 or ord(sign) == 127 else sign
