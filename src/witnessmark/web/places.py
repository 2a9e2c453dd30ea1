"""Where things are: the one list of addresses inside the shop."""

NAVIGATION = (  # address, icon, word, for teachers only
    ("/board", "board", "Board", False),
    ("/jobs", "job", "Jobs", False),
    ("/plan", "plan", "Plan", False),
    ("/people", "people", "People", True),
    ("/library", "library", "Library", False),
)


def job(number: int) -> str:
    """Return the address of a job: its Work stage."""
    return f"/jobs/{number}"


def stage(number: int, key: str) -> str:
    """Return the address of one stage of a job: find, steps, work or release."""
    return job(number) if key == "work" else f"{job(number)}/{key}"


def fit(number: int) -> str:
    """Return the address of a job's fit."""
    return f"{job(number)}/fit"


def repair(number: int) -> str:
    """Return the address where a job's repair is sized."""
    return f"{job(number)}/repair"


def step(number: int, position: int) -> str:
    """Return the address of one step of a job."""
    return f"{job(number)}/step/{position}"
