"""How joints are made: what the bodies of both schools say, the shop's rule, and the cautions."""

from dataclasses import dataclass
from typing import Final

from witnessmark.errors import BenchError
from witnessmark.wiring.sources import Known, Source


@dataclass(frozen=True, slots=True, kw_only=True)
class Saying:
    """What one body says of joints, in short.

    Attributes
    ----------
    body
        Who says it.
    says
        What.
    leans
        "crimp", "solder" or "both".
    source
        Where it was seen.
    """

    body: str
    says: str
    leans: str
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class JointRule:
    """The shop's own rule: how its learners make a joint.

    Attributes
    ----------
    key
        What the setting is called.
    words
        The rule in a line.
    steps
        What the hands do, in order.
    """

    key: str
    words: str
    steps: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class JointCaution:
    """What can hurt someone while a joint is made."""

    id: str
    text: str
    source: Source


def _seen(words: str) -> Source:
    return Source(words=words, known=Known.SEEN)


SAYINGS: Final = (
    Saying(
        body="NASA-STD-8739.4",
        says="Only stranded wire is crimped; crimping solid wire or solder-tinned strand is "
        "prohibited.",
        leans="crimp",
        source=_seen("its change 6, history log, paragraph 4.3"),
    ),
    Saying(
        body="NASA-STD-8739.4, 19.1 and 19.2",
        says="Splices may be crimped or soldered. One that is not in the design counts as a "
        "repair; keep them few.",
        leans="both",
        source=_seen("its pages 80 and 82"),
    ),
    Saying(
        body="NASA-STD-8739.4, 19.6 and 19.7",
        says="Lap splice: pre-tin, lay parallel over 3 to 6 wire diameters, not twisted, then "
        "sleeve.",
        leans="solder",
        source=_seen("its pages 80 and 82"),
    ),
    Saying(
        body="NASA, line splice",
        says="Pre-tinned, at least 3 tight turns each way, no overlap on insulation, sleeved.",
        leans="solder",
        source=_seen("a page on splicing to NASA specifications"),
    ),
    Saying(
        body="NASA workmanship book, 4.07",
        says="Put splices where the harness does not flex; stagger them; tie both sides.",
        leans="both",
        source=_seen("its section 4.07"),
    ),
    Saying(
        body="IPC J-STD-001E, IPC/WHMA-A-620",
        says="Strand shall not be tinned for crimp terminations, threaded fasteners or mesh "
        "splices.",
        leans="crimp",
        source=_seen("a page on when to tin and not to tin"),
    ),
    Saying(
        body="IPC/WHMA-A-620, chapter 8",
        says="Accepts soldered mesh, wrap, hook and lap splices, and crimped ones.",
        leans="both",
        source=_seen("a page of solder tips"),
    ),
    Saying(
        body="ABYC, boats",
        says="Solder shall not be the sole means of connection at a terminal; battery lugs are "
        "excepted if the wire enters 1.5 of its diameters.",
        leans="crimp",
        source=_seen("quotations of E-10 on a lug page and in a forum"),
    ),
    Saying(
        body="NEC 110.14(B), buildings",
        says="Soldered splices are first made mechanically and electrically secure, then soldered.",
        leans="solder",
        source=_seen("quotations in a code forum"),
    ),
    Saying(
        body="Vehicle manual, first kind",
        says="Restraint circuit: band crimped, then rosin-soldered, then an adhesive sleeve; not "
        "on the pigtail of a device.",
        leans="both",
        source=_seen("a service manual on restraint wiring; a repair sheet"),
    ),
    Saying(
        body="Vehicle manual, second kind",
        says="Crimp-and-seal sleeves only, at most two wires, at least 40 mm from other splices, "
        "branches and connectors.",
        leans="crimp",
        source=_seen("a service manual on restraint wire repair"),
    ),
    Saying(
        body="Vehicle manual, third kind",
        says="Up to 16 gauge twist and solder, rosin and never acid; hot-melt sleeve; stagger by "
        "50 mm.",
        leans="solder",
        source=_seen("a service manual of 1996 on harness repair"),
    ),
    Saying(
        body="Australian AC 21-99, aircraft",
        says="Sealed crimp splices are the only permanent ones.",
        leans="crimp",
        source=_seen("its section 2, chapter 6"),
    ),
)
COMMON_GROUND: Final = (
    "Good bodies accept both. All agree on: no tin under a crimp or screw, no solder-only joint, "
    "support the wire beside the joint, seal it. The vehicle's own instruction comes first; "
    "restraint-system wiring follows it exactly or is not touched."
)

MAKER: Final = "maker"
JOINT_RULES: Final = (
    JointRule(
        key=MAKER,
        words="As the vehicle's maker says; crimp and seal where it says nothing",
        steps=(
            "Look the joint up in the vehicle's own wiring repair instructions, and follow them.",
            "Where they say nothing: sealed crimp splice of the wire's size, made with the tool "
            "that belongs to it.",
            "Pull at both wires, shrink the sleeve until sealant shows, support the wire on both "
            "sides.",
        ),
    ),
    JointRule(
        key="crimp",
        words="Sealed crimp splice",
        steps=(
            "Strip to the length of the barrel, every strand whole and untinned.",
            "Crimp with the tool that belongs to the splice, its size set for the wire.",
            "Pull at both wires, shrink the sleeve until sealant shows, support the wire on both "
            "sides.",
        ),
    ),
    JointRule(
        key="crimp-solder",
        words="Crimp band, then solder, then sleeve",
        steps=(
            "Strip, lay the wires into the band, crimp it: the joint must hold before any solder.",
            "Solder with rosin core until it flows through the band, and stop before it creeps "
            "under the insulation.",
            "Let it cool, wipe the flux off, shrink an adhesive sleeve over it, support the wire "
            "on both sides.",
        ),
    ),
    JointRule(
        key="solder",
        words="Lap or wrapped splice, soldered and sleeved",
        steps=(
            "Make the splice hold by itself: three wraps, or a lap of 3 to 6 wire diameters bound "
            "with a strand.",
            "Solder with rosin core, never acid, and stop before it creeps under the insulation.",
            "Let it cool, wipe the flux off, shrink an adhesive sleeve over it, support the wire "
            "on both sides. Never under a crimp or a screw.",
        ),
    ),
)
_RULES: Final = {one.key: one for one in JOINT_RULES}

CAUTIONS: Final = (
    JointCaution(
        id="restraint",
        text="Airbag and belt-tensioner wiring, often in yellow: leave it alone. A qualified "
        "person follows the maker's instruction exactly, or replaces the harness.",
        source=_seen("service manuals on restraint wiring"),
    ),
    JointCaution(
        id="fuel",
        text="No heat gun, iron or torch near a tank, a fuel line or a charging battery. Vapour "
        "catches fire at the gun's nozzle. Take the wire out, or crimp.",
        source=Source(words="common practice; fuel vapour by HSE", known=Known.MEMORY),
    ),
    JointCaution(
        id="battery",
        text="Battery negative off before wire is cut or joined, by the maker's method. A slip "
        "of the tool makes a short circuit.",
        source=Source(words="common practice", known=Known.MEMORY),
    ),
    JointCaution(
        id="heat-gun",
        text="A heat gun is hotter than 300 °C at its nozzle. Gloves, eye protection, a stand for "
        "it; other wires shielded; the sleeve is hot for minutes.",
        source=Source(words="common practice", known=Known.MEMORY),
    ),
    JointCaution(
        id="flux",
        text="Rosin flux only, never acid: acid eats the strands under the insulation. Its smoke "
        "harms the lungs: extraction on, head aside.",
        source=_seen("a service manual: rosin, never acid; smoke from memory"),
    ),
)


def joint_rule(key: str) -> JointRule:
    """Return a joint rule by its key.

    Parameters
    ----------
    key
        As the shop's setting has it.

    Returns
    -------
    JointRule
        The rule.

    Raises
    ------
    BenchError
        If there is no such rule.

    Examples
    --------
    >>> joint_rule("crimp").words
    'Sealed crimp splice'
    """
    if key in _RULES:
        return _RULES[key]
    raise BenchError(
        f"There is no joint rule “{key}”.",
        f"Known: {', '.join(_RULES)}.",
        "Choose one of them.",
    )
