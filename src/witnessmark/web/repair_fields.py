"""The fields of the form 'Size the repair': those that the kind of repair asks for."""

from collections.abc import Sequence
from dataclasses import dataclass

from witnessmark.web.repair_form import FIELDS, JOINT_KINDS, KINDS, SYSTEMS
from witnessmark.web.repair_question import Question
from witnessmark.wiring.drop import LIMIT_SETS, OWN
from witnessmark.wiring.insulation import INSULATIONS
from witnessmark.wiring.joint_heat import JointKind
from witnessmark.wiring.mending import MENDINGS, usual_mending

Options = Sequence[tuple[str, str]]
_LIMITS = ("limits", "own_drop")
_JOINTS = ("ground", "contact", "joint")
_JOINT = ("joint_drop", "joint_kind", "was", "insulation", "place", "air")
# By what is sized: the fields in sight, then those that are folded away.
_WIRE = ("current", "length", "insulation", "place", "wires")
_WIRE_MORE = (
    *("was", "system", "fuse", "kind", "together", "thinnest"),
    *("stalled", "starting", "seconds", *_LIMITS, "air", "joint_drop", "joint_kind"),
)
_FUSE = ("together", "fuse", "kind", "thinnest")
_FUSE_MORE = ("insulation", "place", "wires", "air", "stalled", "starting", "seconds", *_LIMITS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One field: what stands beside it and in it."""

    name: str
    label: str
    value: str
    options: Options = ()
    placeholder: str = ""
    mode: str = ""
    is_from_sheet: bool = False
    is_wrong: bool = False
    is_wide: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """The form: what is in sight, what is folded away, and what is only carried along."""

    asks: tuple[Field, ...]
    main: tuple[Field, ...]
    more: tuple[Field, ...]
    hidden: tuple[tuple[str, str], ...]

    @property
    def more_open(self) -> bool:
        """Return whether something was typed, or is wrong, among what is folded away."""
        return any(one.is_wrong or _is_typed(one) for one in self.more)

    @property
    def from_sheet(self) -> int:
        """Return how many of the folded fields the sheet has filled."""
        return sum(one.is_from_sheet for one in self.more)


def form_of(asked: Question, wrong: str = "") -> Form:
    """Return the form of a question; `wrong` is the field at which something is said."""
    asks = ("part", "work", "load") if asked.bench else ("work",)
    main, more = _asked_for(asked)
    shown = {*asks, *main, *more}
    return Form(
        asks=tuple(_field(asked, name, wrong) for name in asks),
        main=tuple(_field(asked, name, wrong) for name in main),
        more=tuple(_field(asked, name, wrong) for name in more),
        hidden=tuple((name, asked.typed[name]) for name in FIELDS if name not in shown),
    )


def _asked_for(asked: Question) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the fields in sight and the folded ones."""
    if asked.work.sizes_wire:
        return _WIRE, _WIRE_MORE
    if asked.work.sizes_fuse:
        return _FUSE, _FUSE_MORE
    limits = _LIMITS if asked.bench else ()
    current = () if asked.joint_part else ("current",)
    return (), (*limits, *((*current, *_JOINT) if asked.work.key in _JOINTS else ()))


def _is_typed(field: Field) -> bool:
    return (
        bool(field.value)
        and not field.options
        and not field.is_from_sheet
        and field.name
        not in (
            "own_drop",
            "wires",
        )
    )


def _field(asked: Question, name: str, wrong: str) -> Field:
    options = _options(asked, name)
    label, placeholder, mode = _WORDS[name]
    feet = asked.shop.units == "inch"
    if name == "current" and not asked.work.sizes_wire:
        label = "Current of its load, A"
    if name == "length":
        whole = asked.part is None
        label = f"{'Wire there and back' if whole else 'Length of the new wire'}, "
        label += "ft" if feet else "m"
        placeholder = "16" if feet else "5"
    return Field(
        name=name,
        label=label,
        value=asked.typed[name],
        options=options,
        placeholder=placeholder,
        mode=mode,
        is_from_sheet=asked.is_from_sheet(name),
        is_wrong=name == wrong,
        is_wide=name == wrong or name == "insulation",
    )


def _options(asked: Question, name: str) -> Options:
    if name == "part" and asked.bench:
        return [
            ("", "No part of the sheet, or the whole run"),
            *((one.name, one.label) for one in asked.bench.circuit.parts if one.kind != "battery"),
        ]
    if name == "load" and asked.bench:
        return [*((one.key, one.label) for one in asked.bench.loads), ("", "None of these")]
    if name == "work":
        usual = [("", f"as usual: {usual_mending(asked.part).words}")] if asked.bench else []
        return [*usual, *((one.key, one.words) for one in MENDINGS)]
    if name == "joint_kind":
        kinds = [(key, _JOINT_WORDS[one]) for key, one in JOINT_KINDS.items()]
        return [("", f"as usual: {_JOINT_WORDS[asked.usual_joint]}"), *kinds]
    return _FIXED.get(name, ())


_JOINT_WORDS = {JointKind.WIRES: "between wires", JointKind.STUD: "at a stud or body"}
_FIXED: dict[str, Options] = {
    "insulation": [(one.key, one.words) for one in INSULATIONS],
    "place": [("body", "In the body, 30 °C"), ("engine", "Engine space, 50 °C")],
    "system": [(key, one.value) for key, one in SYSTEMS.items()],
    "kind": [(key, one.value) for key, one in KINDS.items()],
    "limits": [*((one.key, one.words) for one in LIMIT_SETS), (OWN, "The shop’s own limit")],
}
# Name of a field: its label, an example, and which keys a phone shows.
_WORDS = {
    "part": ("Part that is repaired", "", ""),
    "work": ("What is done", "", ""),
    "load": ("Load, for the volts on its way", "", ""),
    "current": ("Current in this wire, A", "8", "decimal"),
    "length": ("", "", "decimal"),
    "insulation": ("Insulation", "", ""),
    "place": ("Place", "", ""),
    "wires": ("Wires in the bundle", "", "numeric"),
    "was": ("Wire that was there", "2.5 mm2, 14 AWG, SAE 14", ""),
    "system": ("Sizes to choose from", "", ""),
    "kind": ("Fuse holder takes", "", ""),
    "fuse": ("Fuse that is there, A", "empty: choose one", "decimal"),
    "together": ("All loads on that fuse, A", "only this wire", "decimal"),
    "thinnest": ("Thinner wire on that fuse", "none", ""),
    "stalled": ("Motor held still takes, A", "no motor", "decimal"),
    "starting": ("It starts with, A", "", "decimal"),
    "seconds": ("For, s", "", "decimal"),
    "limits": ("It may lose", "", ""),
    "own_drop": ("The shop’s own limit, V", "", "decimal"),
    "air": ("Air there, if hotter, °C", "", "decimal"),
    "joint_drop": ("Volts read across the bad joint", "load switched on", "decimal"),
    "joint_kind": ("The joint is", "", ""),
}
