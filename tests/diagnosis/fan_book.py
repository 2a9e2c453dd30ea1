"""A dictionary of the fan circuit in closed form: one series loop, no solver."""

import math

import numpy as np

from witnessmark.diagnosis import observations
from witnessmark.diagnosis.dictionary import (
    SOMETHING_ELSE,
    Dictionary,
    Mixture,
    Place,
    Predictions,
    Setting,
    Suspect,
    Trouble,
)
from witnessmark.quantities import parse

SOURCE_V = 12.6
# In order from the battery's plus to its minus post; ohms. Invented.
LOOP = {"Ri": 0.02, "F12": 0.005, "K3": 0.010, "W": 0.030, "C4": 0.005}
LOOP |= {"Fan": 1.50, "S9": 0.0, "WG": 0.020, "G7": 0.003}
AFTER = {"A": "Ri", "B": "F12", "C": "K3", "D": "C4", "E": "Fan", "F": "WG"}
WORDS = {"A": "battery +", "B": "after fuse F12", "C": "relay 87"}
WORDS |= {"D": "motor +", "E": "motor −", "F": "stud G7"}
WEIGHTS = {"G7": 3.0, "Fan": 1.5, "S9": 1.0, "K3": 1.0, "C4": 1.5, "F12": 0.5}
ELSE_WEIGHT = 0.3
SIDES = {"G7": "ground", "S9": "ground", "F12": "feed", "K3": "feed", "C4": "feed"}
SEVERITIES = 150


def volts(point, part=None, added_ohm=0.0, times=1.0):
    """Volts at a point with one part changed."""
    ohms = dict(LOOP)
    if part:
        ohms[part] = ohms[part] * times + added_ohm
    names = list(ohms)
    passed = sum(ohms[name] for name in names[: names.index(AFTER[point]) + 1])
    return SOURCE_V * (1.0 - passed / sum(ohms.values()))


def severities(part, count=SEVERITIES):
    """Samples of one suspect: part, added ohms, times."""
    middle = (np.arange(count) + 0.5) / count
    if part == "Fan":
        return [(part, 0.0, 1.15 + 0.85 * share) for share in middle]
    return [(part, math.exp(math.log(0.15) + math.log(8.0) * share), 1.0) for share in middle]


def fan_book(weights=None, repairs=None, lamp=False):
    """The dictionary; `weights` and `repairs` change priors and repairs by part."""
    weights = WEIGHTS | (weights or {})
    repairs = repairs or {}
    samples = [sample for part in weights for sample in severities(part)]
    index = np.array([list(weights).index(part) for part, _, _ in samples] + [len(weights)])
    prior = np.array([weights[part] / SEVERITIES for part, _, _ in samples] + [ELSE_WEIGHT])
    suspects = [
        Suspect(
            key=f"{part}:high",
            parts=(part,),
            part_words="",
            mode="high",
            words="worn" if part == "Fan" else "high resistance",
            repair=repairs.get(part, f"mend {part}"),
            comes_and_goes=0.1,
        )
        for part in weights
    ]
    suspects.append(
        Suspect(
            key=SOMETHING_ELSE, parts=(), part_words="", mode="", words="", repair=SOMETHING_ELSE
        )
    )
    healthy = [volts(letter) for letter in AFTER]
    table = np.array(
        [healthy] + [[volts(letter, *sample) for letter in AFTER] for sample in samples]
    )
    drop = table[:, 3] - table[:, 4]
    power = drop**2 / (LOOP["Fan"] * np.array([1.0] + [times for _, _, times in samples]))
    table = table[:, None, :]
    corner = np.append(np.arange(1, len(table)), 0)
    return Dictionary(
        suspects=tuple(suspects),
        suspect=index,
        log_prior=np.log(prior),
        supply_v=SOURCE_V,
        settings=(Setting(name="run", words="the fan running", minutes=2.0),),
        places=tuple(
            Place(letter=letter, words=WORDS[letter], minutes=4.0 if letter == "F" else 2.0)
            for letter in AFTER
        ),
        troubles=(
            Trouble(key="slow", words="fan runs slow", load="Fan", state="run", look="weak"),
            Trouble(key="dead", words="fan is dead", load="Fan", state="run", look="dead"),
        ),
        loads=("Fan",),
        solved=Predictions(
            volts=table,
            unsteady=np.zeros(table.shape[:2], dtype=bool),
            lamp={("lamp", ""): table} if lamp else {},
            power=power[:, None, None],
        ),
        mix=Mixture(corner=corner[:, None], weight=np.ones((len(corner), 1))),
    )


def read(point, text, state="run", **more):
    """One meter reading."""
    return observations.TestReading(
        id=f"{point}-{text}",
        kind="volts",
        point=point,
        state=state,
        text=text,
        quantity=parse(text, "V"),
        **more,
    )
