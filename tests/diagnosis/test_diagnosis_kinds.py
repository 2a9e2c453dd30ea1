"""Kinds of test: what each shows, who may do it, which are refused, what minutes they share."""

from dataclasses import replace

import numpy as np
import pytest

from diagnosis.sheets_shipped import SHEETS, circuit
from witnessmark.diagnosis import facts
from witnessmark.diagnosis import observations as o
from witnessmark.diagnosis.building import dictionary_of, with_jumpers
from witnessmark.diagnosis.evidence import weigh
from witnessmark.diagnosis.facts import hazard_words, spans
from witnessmark.diagnosis.find import find_run
from witnessmark.diagnosis.kinds import EVERYTHING, KINDS, means
from witnessmark.diagnosis.offers import menu_of, minutes_of, standing_after
from witnessmark.diagnosis.outcomes import FALSE_SIGN, sign_chances, size
from witnessmark.diagnosis.refused import check_reading, why_not
from witnessmark.errors import BenchError
from witnessmark.networks import Kind
from witnessmark.networks.faults import parse_fault
from witnessmark.networks.solver import solve
from witnessmark.networks.test_lamp import with_lamp
from witnessmark.quantities import parse


def sign(key, outcome, present=True):
    test = o.parse_test_key(key)
    return o.TestReading(
        id=key, kind=test.kind, point=test.point, part=test.part, state=test.state,
        reference=test.reference, text=outcome, outcome=outcome, present=present,
    )  # fmt: skip


def sized(key, text, present=True):
    test = o.parse_test_key(key)
    return o.TestReading(
        id=key, kind=test.kind, point=test.point, part=test.part, state=test.state,
        reference=test.reference, text=text, present=present,
        quantity=parse(text, KINDS[test.kind].unit),
    )  # fmt: skip


def parts_after(sheet, *readings, said=("slow",)):
    complaints = [o.Observation(complaint=key, source="here") for key in said]
    return find_run(sheet, complaints, readings).parts


@pytest.mark.parametrize("name", SHEETS)
def test_the_key_of_every_test_comes_back(name):
    menu = menu_of(with_jumpers(circuit(name)), EVERYTHING)

    assert {test.kind for test in menu.tests} == set(KINDS)
    assert [o.parse_test_key(key) for key in menu.keys] == list(menu.tests)
    assert len(set(menu.keys)) == len(menu.keys)


def test_only_tests_with_their_tool_and_permit_are_offered():
    book = with_jumpers(circuit("headlamps.toml"))
    kinds = {test.kind for test in menu_of(book, means(["meter"])).tests}
    assert kinds == {"volts", "ohms"}
    lead = means(["meter", "fused jumper lead"])
    assert "jumper" not in {test.kind for test in menu_of(book, lead).tests}
    allowed = means(["meter", "fused jumper lead"], ["live circuits"])
    assert "jumper" in {test.kind for test in menu_of(book, allowed).tests}
    with pytest.raises(BenchError, match="Find knows LED tester, clamp meter"):
        means(["hammer"])


@pytest.mark.parametrize("name", SHEETS)
def test_no_test_on_the_menu_hurts(name):
    book = with_jumpers(circuit(name))

    assert [
        why_not(book, test) for test in menu_of(book, EVERYTHING).tests if why_not(book, test)
    ] == []


@pytest.mark.parametrize(
    ("name", "key", "words"),
    [
        ("fan.toml", "jumper Fan state=run", "A jumper round Fan motor would put the whole supply"),
        ("fan.toml", "jumper F12 state=run", "takes the protection away. .*Fit a good one"),
        ("fan.toml", "jumper BAT state=run", "is a short circuit"),
        ("fan.toml", "jumper W1 state=run", "reaches only one end"),
        ("fan.toml", "ohms Fan", "tell nothing while it rests"),
        ("fan.toml", "ohms G7", "tell nothing while it rests"),
        ("fan.toml", "clamp C4 state=run", "A clamp does not go round C4"),
    ],
)
def test_a_test_that_hurts_or_says_nothing_is_refused_with_the_reason(name, key, words):
    test = o.parse_test_key(key)
    text = "1 Ω" if test.kind == "ohms" else "1 A"
    reading = sign(key, "works") if test.kind == "jumper" else sized(key, text)

    with pytest.raises(BenchError, match=words):
        check_reading(dictionary_of(circuit(name)), reading)


def test_ohms_on_a_live_circuit_are_refused_before_they_are_read():
    with pytest.raises(BenchError, match="An ohmmeter on a live circuit reads nonsense"):
        o.parse_test_key("ohms K3 state=run")


def test_a_test_lamp_is_refused_on_a_modules_own_line(monkeypatch):
    """No sheet that ships has a module: the fan motor stands for one."""
    monkeypatch.setattr(facts, "MODULES", frozenset({"motor"}))
    sheet = circuit("fan.toml")
    fragile = {p.letter: p.no_lamp for p in facts.places(sheet) if p.no_lamp}
    assert {"D", "E"} <= set(fragile)
    assert "A" not in fragile
    assert "can hurt a control module. Use a meter there." in fragile["D"]
    book = dictionary_of(sheet)
    guarded = replace(
        book,
        places=tuple(replace(p, no_lamp=fragile.get(p.letter, "")) for p in book.places),
    )
    lamps = {test.point for test in menu_of(guarded).tests if test.kind == "lamp"}
    assert lamps.isdisjoint({"D", "E"})
    with pytest.raises(BenchError, match="Use a meter there"):
        check_reading(guarded, sign("lamp D state=run", "lit"))
    check_reading(guarded, sign("lamp A state=run", "lit"))


@pytest.mark.second_way("the bulb drawn into the circuit and the whole solved again")
def test_a_bulb_that_would_work_a_relay_is_refused_and_not_on_the_menu():
    """From plus to a relay's ground side it does nothing; to its feed it lets the coil pull in."""
    sheet = circuit("fan.toml")
    book = dictionary_of(sheet)
    for (letter, clip, state), relay in book.lamp_works.items():
        lit = solve(with_lamp(sheet, letter, *([clip] if clip else [])), states=[state])
        at_rest = solve(sheet, states=[state])
        contact = lit.relays.index(f"{relay}.contact")
        assert lit.pulled[0, 0, contact] != at_rest.pulled[0, 0, contact]
    assert book.lamp_works == {("G", "A", "off"): "K3"}

    with pytest.raises(BenchError, match="A bulb between G and A switches K3 over") as refused:
        check_reading(book, sign("lamp G to=A state=off", "lit"))
    assert "Use a meter or an LED tester there." in refused.value.do
    check_reading(book, sign("led G to=A state=off", "lit"))
    check_reading(book, sign("lamp G to=A state=run", "lit"))
    offered = {test.key for test in menu_of(book, EVERYTHING).tests}
    assert "lamp G to=A state=off" not in offered
    assert {"led G to=A state=off", "lamp G to=A state=run"} <= offered


def test_above_60_v_the_learner_is_stopped_and_the_qualified_person_named():
    sheet = circuit("fan.toml")
    parts = tuple(
        replace(part, sizes=(("emf", 96.0), ("inside", 0.02))) if part.name == "BAT" else part
        for part in sheet.parts
    )
    found = find_run(
        replace(sheet, parts=parts), [o.Observation(complaint="slow")], qualified="Ms Tarn"
    )

    assert found.stop.kind == "halt"
    assert found.next_test is found.lamp_instead is found.elsewhere is None
    assert found.stop.sentence.startswith("Stop: Brae 12, fan and heater carries 96 V")
    assert "Ms Tarn takes over" in found.stop.sentence


def test_a_restraint_circuit_is_stopped_whatever_its_volts():
    class Restraint:
        name, supply_v, hazard = "Belt and bag", 12.0, "restraint"

    words = hazard_words(Restraint())
    assert "a test current can fire it" in words
    assert "The person whom the school has named as qualified takes over" in words
    Restraint.hazard = ""
    assert hazard_words(Restraint()) == ""


def test_setup_and_access_are_shared():
    book = dictionary_of(circuit("fan.toml"))
    at_e = o.parse_test_key("volts E state=run")
    first = minutes_of(book, at_e, None)
    assert minutes_of(book, o.parse_test_key("lamp E state=run"), at_e) == 1
    assert minutes_of(book, o.parse_test_key("volts E state=off"), at_e) == 1  # off takes none
    assert minutes_of(book, o.parse_test_key("wiggle Fan state=run"), at_e) == 1  # E is at it
    assert minutes_of(book, o.parse_test_key("volts E to=D state=run"), at_e) == 1 + 0.5 + 3
    assert first == 1 + 1 + 3
    looked = standing_after([at_e, o.parse_test_key("look Fan")])
    assert looked.state == "run"
    off = standing_after([at_e, o.parse_test_key("ohms F12")])
    assert off.state == ""


@pytest.mark.second_way("current and volts of the same fault, solved anew")
def test_clamp_across_and_ohms_say_what_the_solver_says():
    sheet = circuit("fan.toml")
    book = dictionary_of(sheet)
    fault = parse_fault("C4:open", sheet)
    solved = solve(sheet, [(fault,)])
    sample = int(np.flatnonzero(book.suspect == [s.key for s in book.suspects].index("C4:open"))[0])

    def shown(key):
        return size(book, o.parse_test_key(key))[sample]

    assert shown("clamp W1 state=run") == pytest.approx(abs(solved.current("W1", "run")), abs=1e-9)
    across = solved.voltage("C", "run") - solved.voltage("D", "run")
    assert shown("volts C to=D state=run") == pytest.approx(across, abs=1e-9)
    assert ("C", "D") in spans(sheet)  # W1 and C4 lie between, and no letter
    assert shown("ohms F12") == sheet.part("F12").size("ohms")
    blown = [s.key for s in book.suspects].index("F12:blown")
    assert np.isinf(size(book, o.parse_test_key("ohms F12"))[book.suspect == blown]).all()
    assert np.isfinite(size(book, o.parse_test_key("ohms K3"))[book.suspect == blown]).all()


@pytest.mark.parametrize(
    ("key", "outcome", "part", "rises"),
    [
        ("wiggle G7 state=run", "changes", "G7", True),
        ("wiggle G7 state=run", "steady", "G7", False),
        ("look C4", "bad", "C4", True),
        ("look C4", "sound", "C4", False),
        ("heat C4 state=run", "hot", "C4", True),
        ("swap K3 state=run", "works", "K3", True),
        ("swap K3 state=run", "no change", "K3", False),
        ("jumper G7 state=run", "works", "G7", True),
        ("jumper G7 state=run", "no change", "G7", False),
        ("ohms F12", "open", "F12", True),
        ("led D state=run", "dark", "C4", True),
    ],
)
def test_each_sign_moves_the_belief_the_way_it_should(key, outcome, part, rises):
    sheet = circuit("fan.toml")
    said = ("dead",) if part == "F12" or key.startswith("led") else ("slow",)
    before = parts_after(sheet, said=said)[part]
    after = parts_after(sheet, sign(key, outcome), said=said)[part]

    assert (after > before * 1.05) if rises else (after < before * 0.95)


@pytest.mark.second_way("a lead drawn into the circuit and solved")
def test_a_jumper_round_the_relay_tells_a_dead_coil_feed_from_a_dead_motor():
    sheet = circuit("fan.toml")
    book = with_jumpers(sheet)
    works = sign_chances(book, o.parse_test_key("jumper K3 state=run"))
    keys = [s.key for s in book.suspects]

    def chance(key):
        return works[book.suspect == keys.index(key)]

    assert (chance("S2:stuck-open") > 0.9).all()  # the coil has no feed, the contact is bridged
    assert (chance("K3:stuck-open") > 0.9).all()
    assert (chance("Fan:open") < 2 * FALSE_SIGN).all()
    assert (chance("something else") == 0.5).all()


def test_an_outcome_that_the_kind_does_not_have_is_refused():
    with pytest.raises(BenchError, match="It must be sound or bad"):
        sign("look C4", "lovely")
    with pytest.raises(BenchError, match="Set the meter to amps DC"):
        sized("clamp W1 state=run", "3 A").__class__(
            id="1", kind="clamp", part="W1", state="run", text="3 V", quantity=parse("3 V")
        )
    with pytest.raises(BenchError, match="The sheet has the parts BAT, F12"):
        check_reading(dictionary_of(circuit("fan.toml")), sign("look Q4", "bad"))


def test_rates_of_the_shop_move_the_belief_and_the_sheets_own_rate_stays():
    sheet = circuit("headlamps.toml")
    said = [o.Observation(complaint="right-dark")]
    usual = find_run(sheet, said).parts
    shops = find_run(sheet, said, rates={"lamp/open": 0.1}).parts
    assert 3 * shops["L2"] < usual["L2"]
    fan = circuit("fan.toml")
    said = [o.Observation(complaint="slow")]
    assert fan.part("C4").rate  # the sheet knows this connector better than the shop
    usual = find_run(fan, said).parts
    shops = find_run(fan, said, rates={"connector/high": 9.0}).parts
    assert shops["C4"] == pytest.approx(usual["C4"])
    with pytest.raises(BenchError, match="A rate is a weight of 0 or more"):
        find_run(sheet, said[:0], rates={"lamp/open": -1.0})


def test_the_programs_own_rates_are_there_to_edit():
    from witnessmark.diagnosis.graded import own_rates

    sheet = circuit("headlamps.toml")
    rates = own_rates(sheet)
    assert rates["lamp/open"] > 0
    same = weigh(dictionary_of(sheet, rates), [], []).suspects
    assert np.allclose(same, weigh(dictionary_of(sheet), [], []).suspects)


@pytest.mark.second_way("Ohm's law by hand: 12² / 120 is 1.2 ohm")
def test_a_heater_told_by_its_power_is_measured_by_itself_and_found_as_one_told_by_its_ohms():
    by_ohms = circuit("rear-heater.toml")

    def told(part):
        ohm = part.size("ohms")
        return replace(part, sizes=(("power", 144.0 / ohm), ("volts", 12.0)))

    by_power = replace(
        by_ohms,
        parts=tuple(told(one) if one.kind is Kind.HEATER else one for one in by_ohms.parts),
    )
    heater = replace(by_power.part("H1"), sizes=(("power", 120.0), ("volts", 12.0)))
    assert facts.own_ohm(heater) == pytest.approx(1.2)
    one, other = dictionary_of(by_ohms), dictionary_of(by_power)
    assert [each.key for each in one.suspects] == [each.key for each in other.suspects]
    assert np.allclose(solve(by_ohms).volts, solve(by_power).volts)
    said, read = [o.Observation(complaint="dead", source="here")], [sign("ohms H1", "open")]
    assert weigh(one, said, read).suspects == pytest.approx(weigh(other, said, read).suspects)
    lead = other.suspects[int(weigh(other, said, read).suspects.argmax())]
    assert lead.key == "H1:open"
