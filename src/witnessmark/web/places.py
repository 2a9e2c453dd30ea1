"""Where things are: the one list of addresses inside the shop."""

from dataclasses import dataclass

NAVIGATION = (  # address, icon, word, for teachers only
    ("/board", "board", "Board", False),
    ("/jobs", "job", "Jobs", False),
    ("/plan", "plan", "Plan", False),
    ("/people", "people", "People", True),
    ("/library", "library", "Library", False),
)
STAGES = ("find", "steps", "work", "release")


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One plate of the stage strip."""

    word: str
    url: str
    detail: str
    passed: bool
    current: bool


def job(number: int) -> str:
    """Return the address of a job: its Work stage."""
    return f"/jobs/{number}"


def stage(number: int, word: str) -> str:
    """Return the address of one stage of a job."""
    return job(number) if word == "work" else f"{job(number)}/{word}"


def step(number: int, position: int) -> str:
    """Return the address of one step of a job."""
    return f"{job(number)}/step/{position}"


def strip(
    number: int, current: str, passed: dict[str, bool], details: dict[str, str]
) -> list[Stage]:
    """Return the four plates of a job's stage strip."""
    return [
        Stage(
            word=word.capitalize(),
            url=stage(number, word),
            detail=details.get(word, ""),
            passed=passed.get(word, False),
            current=word == current,
        )
        for word in STAGES
    ]
