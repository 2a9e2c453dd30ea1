"""Small invented weeks for the tests of planning."""

from datetime import date, time, timedelta

from witnessmark.planning import Bay, Job, Learner, Period, PlaceKind, Presence, Step, WeekProblem

TUESDAY = date(2026, 11, 24)


def period(day=0, number=3, usable_min=70, **rest):
    start = time(7 + number, 40)
    end = time(9 + number, 0)
    values = {"section": "Year 2 group", "presence": Presence.IN}
    return Period(
        day=TUESDAY + timedelta(days=day),
        number=number,
        start=start,
        end=end,
        usable_min=usable_min,
        **(values | rest),
    )


def learner(name, **rest):
    return Learner(key=name.lower(), name=name, **({"section": "Year 2 group"} | rest))


def step(key, minutes=30, **rest):
    return Step(key=key, title=rest.pop("title", key), minutes=minutes, **rest)


def job(key, *steps, **rest):
    return Job(key=key, name=rest.pop("name", key), steps=steps, **rest)


def week(*jobs, periods=None, learners=None, bays=None, **rest):
    return WeekProblem(
        name="test weeks",
        teacher="R. Aldane",
        periods=periods or (period(0), period(1), period(2)),
        learners=learners or tuple(learner(name) for name in ("Devan", "Esme", "Isla")),
        bays=bays
        or (Bay(key="1", name="Bay 1"), Bay(key="4", name="Bench 4", kind=PlaceKind.BENCH)),
        jobs=jobs,
        **rest,
    )
