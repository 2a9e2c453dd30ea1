"""Two practice cases of the second year: one that Wren has ended, one that comes and goes."""

from random import Random
from uuid import UUID

from witnessmark.demo.stage import Script, Stage
from witnessmark.record.acts import practice

# Wren's tests, with what Wren expected. The second and the fourth could be predicted.
TESTS = (
    ("volts D state=run", "12 V"),
    ("volts A state=run", "12.4 V"),
    ("volts E state=run", "0.2 V"),
    ("look F12", "sound to the eye"),
    ("volts E to=F state=run", "about 3 V"),
    ("heat S9 state=run", "hot or smelling burnt"),
)


def script(stage: Stage) -> Script:
    """Set both cases and play one attempt to its end."""
    # Ids of its own, so that those of the other scripts stay as they are.
    random = Random(20261119)  # noqa: S311 - ids of a demo, the same in every shop

    def id() -> UUID:
        return UUID(int=random.getrandbits(128), version=4)

    yield "19 Nov 12:05"
    teacher, section = stage.by("R. Aldane"), stage.sections["Year 2 group"]
    fan = stage.library["fan"]
    first = practice.set_case(
        teacher, id(), item=fan, section=section, title="Fan circuit", chosen="S9:high", seed=6
    )
    yield "20 Nov 08:20"
    wren = stage.by("Wren")
    attempt = practice.begin(wren, id(), case=first)
    for number, (key, expected) in enumerate(TESTS):
        yield f"20 Nov 08:{22 + 2 * number}"
        practice.do_test(
            wren, id(), attempt=attempt, key=key, expected=expected, watched="state" in key
        )
    practice.rank(wren, id(), attempt=attempt, parts=["S9", "W2", "G7"])
    yield "20 Nov 08:36"
    practice.end(
        wren,
        id(),
        attempt=attempt,
        suspect="S9:high",
        repair="mend splice S9",
        reasons="Volts are lost between E and F, and a splice goes bad sooner than a wire.",
    )
    yield "23 Nov 12:02"
    practice.set_case(
        teacher,
        id(),
        item=fan,
        section=section,
        title="Fan circuit, now and then",
        chosen="C4:high",
        comes_and_goes=True,
        seed=9,
    )
