"""Acts on the shop's rules for Find: tools, rates of faults, who takes over from a class."""

import re
from collections.abc import Collection, Mapping
from uuid import UUID

from witnessmark.errors import BenchError
from witnessmark.record.acts.by import By
from witnessmark.shop.models import Shop

NUMBER = re.compile(r"[0-9]{1,6}(?:\.[0-9]{1,6})?")
MOST = 1000.0  # of a rate: the greatest of the program's own is 2.25


def set_find_rules(by: By, id: UUID, *, tools: Collection[str], qualified: str = "") -> Shop:
    """Set which tools for Find the shop has, and who takes over what no class may test."""
    by.must_be_teacher("set the rules for Find")
    from witnessmark.diagnosis.kinds import means

    kept = sorted(means(tools).tools)
    qualified = " ".join(qualified.split())
    asked = {"tools": kept, "qualified": qualified}
    with by.act("find rules set", id, asked=asked) as doing:
        shop = Shop.objects.get(pk=1)
        if doing.is_repeated:
            return shop
        return doing.change(shop, find_tools=kept, qualified=qualified)


def set_rates(by: By, id: UUID, *, rates: Mapping[str, str]) -> Shop:
    """Set the shop's own rates of faults, typed, by kind and mode: {"connector/high": "2.5"}.

    What is empty goes back to the program's own. Causes that were named keep the belief that was
    shown.
    """
    by.must_be_teacher("set how often parts fail here")
    from witnessmark.networks.fault_rates import usual_rates

    known = {rate.key for rate in usual_rates()}
    kept = {
        name: _rate(name, typed, known) for name, typed in sorted(rates.items()) if typed.strip()
    }
    with by.act("fault rates set", id, asked={"rates": kept}) as doing:
        shop = Shop.objects.get(pk=1)
        if doing.is_repeated:
            return shop
        return doing.change(shop, rates=kept)


def _rate(name: str, typed: str, known: Collection[str]) -> str:
    if name not in known:
        raise BenchError(
            f"A rate is given for “{name}”.",
            "A rate belongs to a kind of part and to one way in which it fails.",
            "Choose it from the table.",
        )
    plain = typed.strip().replace(",", ".")
    if not (NUMBER.fullmatch(plain) and float(plain) <= MOST):
        raise BenchError(
            f"The rate of {name.replace('/', ', ')} is “{typed.strip()[:24]}”.",
            f"It is a number from 0 to {MOST:g}; 0 says that it never happens here.",
            "Write it so, or leave it empty for the program's own.",
        )
    return f"{float(plain):g}"
