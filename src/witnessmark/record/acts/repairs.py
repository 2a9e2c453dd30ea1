"""Acts on the shop's rules for electrical repairs: how joints are made, what a circuit may lose."""

from uuid import UUID

from witnessmark.quantities import parse
from witnessmark.record.acts.by import By
from witnessmark.shop.models import Shop
from witnessmark.wiring.drop import own_limits
from witnessmark.wiring.joints import joint_rule as rule_of


def set_repair_rules(by: By, id: UUID, *, joint_rule: str, own_drop: str = "") -> Shop:
    """Set how the shop makes joints, and its own limit of voltage drop, typed with its unit.

    An empty `own_drop` leaves the choice to the printed sets of limits. Notes that stand keep
    the rule that was shown.
    """
    by.must_be_teacher("set the rules for repairs")
    rule = rule_of(joint_rule).key
    own_drop = own_drop.strip()
    if own_drop:
        own_limits(parse(own_drop, "V").to("V"))
    asked = {"joint_rule": rule, "own_drop": own_drop}
    with by.act("repair rules set", id, asked=asked) as doing:
        shop = Shop.objects.get(pk=1)
        if doing.is_repeated:
            return shop
        return doing.change(shop, joint_rule=rule, own_drop=own_drop)
