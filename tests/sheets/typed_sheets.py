"""Circuit sheets as people could type them, of every kind of part, drawn by hypothesis."""

from hypothesis import strategies as st

from witnessmark.networks import FORMS, Kind
from witnessmark.networks.forms import WIRE_SIZE

SPELLED = {"Ω": ("ohm", "Ω"), "V": ("V", " volts"), "A": ("A", " A"), "%": ("%", " %")}
WIRES = ("2.5 mm2", "1,5 mm²", "14 AWG", "AWG 2/0", "16 SAE", "SAE 00", "0.75 mm2")
NAMES = st.text(
    st.characters(exclude_categories=["Cs", "Cc", "Z"], exclude_characters='.:="'),
    min_size=1,
    max_size=8,
)


@st.composite
def typed_size(draw, size):
    """A size as typed: a bare number, or a text with its unit and a comma or a point."""
    if size.unit == WIRE_SIZE:
        return draw(st.sampled_from(WIRES))
    least, most = max(size.least, 0.001), min(size.most, 5000.0)
    value = draw(st.integers(-(-int(least * 1000) // 1), int(most * 1000))) / 1000
    value = min(max(value, least), most)
    if draw(st.booleans()):
        return value
    unit = draw(st.sampled_from(SPELLED.get(size.unit, (size.unit, f" {size.unit}"))))
    digits = f"{value:.3f}".rstrip("0").rstrip(".")
    return f"{digits} {unit.strip()}" if draw(st.booleans()) else f"{digits}{unit}"


@st.composite
def typed_part(draw, kind, name, first, second):
    """A part of a kind as typed, between two points."""
    form = FORMS[kind]
    part = {"name": name, "kind": str(kind)}
    if draw(st.booleans()):
        part["words"] = draw(st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=12))
    if kind is Kind.SELECTOR:
        part["terminals"] = {"B": first, "L 1": second}
        part["positions"] = {"off": [], "on": ["B-L 1"]}
    for at, terminal in enumerate(form.terminals):
        if not terminal.is_optional or draw(st.booleans()):
            part[terminal.key] = second if at % 2 else first
    for size in draw(st.sampled_from(form.ways)):
        part[size.key] = draw(typed_size(size))
    for choice in form.choices:
        if draw(st.booleans()):
            part[choice.key] = draw(st.sampled_from(choice.values))
    if "pulls_in" in part:
        part |= {"pulls_in": "8 V", "drops_out": "1.5 V"}
    if "armature" in part:
        part |= {"armature": "0.2 ohm", "volts": "12 V", "amps": "9 A"}
    return part


@st.composite
def typed_sheets(draw):
    """A whole sheet: a battery, and rings of parts from its plus to its minus post."""
    plus, minus = "battery +", "battery −"
    names = draw(st.lists(NAMES, min_size=3, max_size=12, unique_by=str.strip))
    parts = [draw(typed_part(Kind.BATTERY, f"{names.pop()}b", plus, minus))]
    kinds = draw(st.lists(st.sampled_from(list(Kind)), min_size=len(names), max_size=len(names)))
    kinds[0] = Kind.LAMP
    at = plus
    for number, (name, kind) in enumerate(zip(names, kinds, strict=True)):
        to = minus if number == len(names) - 1 else draw(st.sampled_from((minus, f"p{number}")))
        parts.append(draw(typed_part(kind, name, at, to)))
        at = plus if to == minus else to
    switches = [part["name"] for part in parts if part["kind"] == Kind.SWITCH]
    closed = draw(st.lists(st.sampled_from(switches), unique=True)) if switches else []
    return {
        "circuit": {"name": "typed", "source": "typed by hypothesis"},
        "parts": parts,
        "states": [{"name": "one", "closed": closed}, {"name": "two", "after": "one"}],
    }
