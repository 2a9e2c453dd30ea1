"""What is done about each kind of part: what is cleaned, renewed or made."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from witnessmark.errors import BenchError
from witnessmark.networks import Kind, Part
from witnessmark.wiring.joints import CAUTIONS, JointCaution
from witnessmark.wiring.sources import Known, Source

NOTE: Final = "Size the repair: "  # how the text begins that is kept with a job
BOND: Final = Source(words="AC 43.13-1B, 11-188 and 11-189, on bonding", known=Known.SEEN)
_PRACTICE: Final = Source(words="common practice, no published source", known=Known.MEMORY)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mending:
    """One kind of repair.

    Attributes
    ----------
    key
        What a form calls it.
    words
        What is done, as a list offers it.
    answer
        The repair in one sentence.
    steps
        What the hands do, in order; the shop's joint rule has those of a joint.
    sources
        Who says so.
    cautions
        What can hurt someone meanwhile, the gravest first.
    sizes_wire, sizes_fuse, makes_joint
        What of the page it asks for.
    """

    key: str
    words: str
    answer: str
    steps: tuple[str, ...]
    sources: tuple[Source, ...]
    cautions: tuple[JointCaution, ...]
    sizes_wire: bool = False
    sizes_fuse: bool = False
    makes_joint: bool = False


def _caution(id: str, text: str, source: Source = _PRACTICE) -> JointCaution:
    return JointCaution(id=id, text=text, source=source)


_OF_JOINTS: Final = {one.id: one for one in CAUTIONS}
_RESTRAINT: Final = _OF_JOINTS["restraint"]
_GROUND_OFF: Final = _caution(
    "ground-off",
    "Battery negative off before a ground is undone, by the maker's method. With the ground open "
    "the current looks for another way, through a cable, a bearing or a module.",
)
_BRUSH: Final = _caution(
    "brush", "Wire brush, abrasive and rust: eye protection. Keep the dust off other contacts."
)
_CLEANER: Final = _caution(
    "cleaner",
    "Contact cleaner burns, and its vapour harms: circuit dead, no flame or heat gun near, air "
    "moving, off skin and eyes. Let it dry before the battery is connected.",
)
_NEVER_LARGER: Final = _caution(
    "never-larger",
    "Never a larger fuse, foil or wire in its place: then the wire is the fuse, inside the loom.",
)
_HOT_LAMP: Final = _caution(
    "hot-lamp",
    "A lamp burns skin, and its glass can burst: switched off and cool before it is touched, eye "
    "protection on. A discharge lamp has thousands of volts: leave it to whoever is qualified.",
)
_MOVES: Final = _caution(
    "moves",
    "A fan, a wiper or a window may start by itself: battery negative off, by the maker's method, "
    "before fingers go in.",
)

WIRE: Final = "wire"
MENDINGS: Final = (
    Mending(
        key=WIRE,
        words="a wire is renewed",
        answer="The wire is renewed.",
        steps=(),
        sources=(),
        cautions=CAUTIONS,
        sizes_wire=True,
        sizes_fuse=True,
        makes_joint=True,
    ),
    Mending(
        key="joint",
        words="a splice is made new",
        answer="The splice is made new. The wires keep their size.",
        steps=(
            "Cut back to bright copper. Where no bright copper comes, or the wire gets too short, "
            "a piece of wire is let in: then choose “a wire is renewed”.",
        ),
        sources=(_PRACTICE,),
        cautions=CAUTIONS,
        makes_joint=True,
    ),
    Mending(
        key="ground",
        words="a ground is cleaned",
        answer="The ground is cleaned to bright metal. No wire is sized.",
        steps=(
            "Undo it. Take paint, rust and film off lug, washer, stud and body, to bright metal "
            "as wide as the lug.",
            "A lug that is green inside, loose on its wire or burned is not cleaned: choose “a "
            "wire is renewed”.",
            "Fit a star washer, or what the vehicle's maker says, between lug and body. Tighten "
            "to the maker's torque.",
            "Protect it after it is fastened, never between the faces: paint, wax or grease over "
            "lug, washer and the bare metal round them.",
            "Read the drop across the joint with its loads switched on.",
        ),
        sources=(
            BOND,
            Source(words="a workshop manual on checking grounds", known=Known.SEEN),
        ),
        cautions=(_GROUND_OFF, _RESTRAINT, _BRUSH),
    ),
    Mending(
        key="contact",
        words="a contact is cleaned",
        answer="The contact is cleaned or its terminal renewed. No wire is sized.",
        steps=(
            "Circuit dead. Open the plug by its latch; look for green, black, bent or pushed-back "
            "terminals, and for water.",
            "Clean with contact cleaner. No sandpaper: it takes the plating off.",
            "Slide a new male terminal of the same series into each female one: it must hold by "
            "itself. One that is loose, burned or bent is replaced, not bent back.",
            "A new terminal is put on with the maker's part and the tool that belongs to it. Where "
            "wire goes with it, choose “a wire is renewed”.",
            "Grease only where the maker says so. Close it until the latch clicks, seal in place.",
            "Read the drop across the plug with its load switched on, and move the loom by hand.",
        ),
        sources=(Source(words="service manuals on checking terminal contact", known=Known.SEEN),),
        cautions=(_RESTRAINT, _CLEANER),
    ),
    Mending(
        key="fuse",
        words="a fuse is renewed",
        answer="The fuse is renewed. No wire is sized.",
        steps=(
            "First find why it blew: a short circuit, or a load that takes too much. A new fuse "
            "alone blows again.",
            "The rating that belongs there, by the maker's fuse list; the moulded number counts, "
            "not the colour.",
            "Look at its clips: loose, burned or green ones heat the fuse. Clean or renew them.",
            "All its loads on, read the current, and the drop across the fuse.",
        ),
        sources=(
            Source(words="blade fuse colour charts", known=Known.SEEN),
            _PRACTICE,
        ),
        cautions=(_NEVER_LARGER, _RESTRAINT),
        sizes_fuse=True,
    ),
    Mending(
        key="link",
        words="a fusible link is renewed",
        answer="The fusible link is renewed by the maker's own. No wire is sized.",
        steps=(
            "First find why it melted: a short circuit behind it. A new link alone melts again.",
            "The maker's own link, of the same gauge and the same length. A plain wire is no link: "
            "its insulation burns.",
            "It is joined as the maker says, where it can be seen and touches nothing that burns.",
            "All its loads on, read the current, and the drop across the link.",
        ),
        sources=(Source(words="trade pages on fusible links", known=Known.SEEN), _PRACTICE),
        cautions=(_NEVER_LARGER, _OF_JOINTS["battery"], _RESTRAINT),
    ),
    Mending(
        key="lamp",
        words="a lamp is replaced",
        answer="The lamp is replaced by the same type. No wire is sized.",
        steps=(
            "Same base, same volts, same watts: more watts take more current and melt the holder.",
            "Keep fingers off the glass of a halogen lamp; wipe it with alcohol if it was touched.",
            "Look at the holder: green, loose or browned contacts are cleaned or renewed first.",
            "Lamp on, read the volts at its own two terminals.",
        ),
        sources=(Source(words="pages on changing halogen lamps", known=Known.SEEN), _PRACTICE),
        cautions=(_HOT_LAMP,),
    ),
    Mending(
        key="part",
        words="a part is replaced",
        answer="The part is replaced by the same one. No wire is sized.",
        steps=(
            "The maker's part, or one of the same volts, amps and terminals.",
            "Look at its plug before the new one goes on: a bad contact kills the new part too.",
            "Switched on, read its current and the volts at its own terminals, and compare with "
            "what the maker says.",
        ),
        sources=(_PRACTICE,),
        cautions=(_MOVES, _RESTRAINT),
    ),
)
_BY_KEY: Final = {one.key: one for one in MENDINGS}
_OF_KIND: Final[Mapping[Kind, str]] = {
    Kind.WIRE: WIRE,
    Kind.SPLICE: "joint",
    Kind.GROUND: "ground",
    Kind.CONNECTOR: "contact",
    Kind.FUSE: "fuse",
    Kind.LINK: "link",
    Kind.LAMP: "lamp",
    Kind.LED: "lamp",
}


def mending(key: str) -> Mending:
    """Return a kind of repair by its key.

    Parameters
    ----------
    key
        As a form has it.

    Returns
    -------
    Mending
        The kind of repair.

    Raises
    ------
    BenchError
        If there is no such kind.

    Examples
    --------
    >>> mending("ground").sizes_wire
    False
    """
    if key in _BY_KEY:
        return _BY_KEY[key]
    raise BenchError(
        f"There is no repair “{key}”.",
        f"Known: {', '.join(one.words for one in MENDINGS)}.",
        "Choose one of them.",
    )


def usual_mending(part: Part | None) -> Mending:
    """Return what is usually done about a part; without one, a wire is renewed.

    Parameters
    ----------
    part
        The part at fault.
    """
    return _BY_KEY[WIRE if part is None else _OF_KIND.get(part.kind, "part")]
