"""J-114, the library bus: a water pump, and a mark that broke at 10:52 this morning."""

from witnessmark.demo.stage import Script, Stage, moment
from witnessmark.record.acts.causes import name_cause, write_correction
from witnessmark.record.acts.evidence import correct_reading
from witnessmark.record.acts.intake import Intake, open_job
from witnessmark.record.acts.parts import order_part
from witnessmark.record.acts.sheets import choose_procedure, start_find, start_work
from witnessmark.record.acts.steps import assign_crew, call_teacher, tell_teacher


def script(stage: Stage) -> Script:
    """Play the job from intake to the broken mark."""
    yield "12 Nov 08:20"
    teacher = stage.by("R. Aldane")
    job = open_job(
        teacher,
        stage.id(),
        intake=Intake(
            vehicle="Library bus",
            make="Corran",
            model="40",
            serial="CRN40-INVENTED-0114",
            plate="SP 114",
            year=2009,
            odometer="181340 km",
            owner_name="Skerry Point town library",
            owner_phone="010 0114",
            owner_address="Harbour Street 3, Skerry Point",
            lamps="none",
            condition="Scrape on the left rear corner.",
            keys="1 set, hook 1",
            happens="On the harbour hill, engine hot",
            old_parts_wanted=True,
            promised=moment("4 Dec 15:00"),
        ),
        complaint="Gauge climbs on the harbour hill. Loses about 1 litre a week.",
        section=stage.sections["Year 2 group"],
        bay=stage.bays["1"],
        number=114,
    )
    crew = [stage.people[name] for name in ("Isla", "Tam", "Wren")]
    assign_crew(teacher, stage.id(), job=job, people=crew)

    yield "16 Nov 10:46"
    find = start_find(stage.by("Isla"), stage.id(), job=job)
    stage.start("Isla", find)
    yield "16 Nov 11:12"
    lost = stage.read(
        "Isla", find, "Pressure lost in 4 min", "0.6 bar", with_="Gauge 3", phase="as found"
    )
    yield "16 Nov 11:15"
    track = stage.picture("Tam", find, "coolant track below the weep hole")
    yield "16 Nov 11:21"
    name_cause(
        stage.by("Isla"),
        stage.id(),
        job=job,
        statement="Water pump seal worn, leaking at the weep hole. 0.6 bar lost in 4 min.",
        how="evidence",
        step=find,
        readings=[lost],
        photos=[track],
    )
    stage.finish("Isla", find)
    yield "16 Nov 11:22"
    call_teacher(stage.by("Isla"), stage.id(), job=job, what="cause")
    yield "16 Nov 11:31"
    stage.mark_cause(job)
    yield "16 Nov 15:05"
    choose_procedure(teacher, stage.id(), job=job, item=stage.library["water-pump-inline-engine"])
    start_work(teacher, stage.id(), job=job)

    yield "17 Nov 10:47"
    drain = stage.step(job, "drain")
    stage.start("Tam", drain)
    yield "17 Nov 10:52"
    stage.off("Tam", drain, "lead", "tied back")
    yield "17 Nov 11:04"
    stage.off("Tam", drain, "coolant", "Drum C2")
    yield "17 Nov 11:05"
    stage.picture("Tam", drain, "label on drum C2", key="label")
    stage.finish("Tam", drain)
    yield "17 Nov 11:08"
    strip = stage.step(job, "strip")
    stage.start("Wren", strip)
    stage.picture("Wren", strip, "belt run before removal", key="belt-run")
    yield "17 Nov 11:15"
    tell_teacher(stage.by("Wren"), stage.id(), step=strip)
    yield "17 Nov 11:38"
    for key, place in (
        ("adjuster", "on the engine"),
        ("belt", "Hook 4"),
        ("fan", "Bin B"),
        ("fan-bolts", "Bag 31"),
        ("shroud", "Bin B"),
    ):
        stage.off("Wren", strip, key, place)
    yield "17 Nov 11:43"
    stage.finish("Wren", strip)

    yield "19 Nov 10:45"
    stage.take_over("Isla", job)
    yield "19 Nov 10:48"
    pump_off = stage.step(job, "pump-off")
    stage.start("Isla", pump_off)
    yield "19 Nov 11:10"
    for key, place in (
        ("hose", "Bin B"),
        ("pump", "Bench 2, tray"),
        ("gasket", "Bag 33"),
        ("pump-bolts", "Bag 32"),
    ):
        stage.off("Isla", pump_off, key, place)
    yield "19 Nov 11:26"
    stage.picture("Isla", pump_off, "coolant track below the weep hole", key="weep-hole")
    stage.picture("Isla", pump_off, "gasket face, clean", key="face")
    stage.finish("Isla", pump_off)
    stage.call("Isla", pump_off)
    yield "19 Nov 11:35"
    stage.mark(pump_off)
    yield "19 Nov 11:42"
    order_part(
        teacher,
        stage.id(),
        job=job,
        what="top hose",
        due=moment("26 Nov 12:00").date(),
        step=stage.step(job, "fill"),
    )

    yield "20 Nov 09:26"
    pump_on = stage.step(job, "pump-on")
    stage.start("Tam", pump_on)
    yield "20 Nov 10:02"
    stage.on("Tam", pump_on, "pump", "gasket", old="returned")
    stage.on("Tam", pump_on, "pump-bolts")
    yield "24 Nov 10:41"
    stage.take_over("Tam", job)
    yield "24 Nov 10:43"
    bolts = [
        stage.read("Tam", pump_on, "bolt", text, position=str(number), with_="Wrench 2")
        for number, text in enumerate(("25.0 N·m", "25.5 N·m", "25.0 N·m", "25.0 N·m"), start=1)
    ]
    yield "24 Nov 10:44"
    stage.picture("Tam", pump_on, "pump bolts with paint stripes", key="bolts")
    stage.finish("Tam", pump_on)
    yield "24 Nov 10:45"
    stage.call("Tam", pump_on)
    yield "24 Nov 10:47"
    stage.mark(pump_on)
    yield "24 Nov 10:49"
    belt_on = stage.step(job, "belt-on")
    stage.start("Wren", belt_on)
    yield "24 Nov 10:52"
    correct_reading(
        stage.by("Tam"),
        stage.id(),
        reading=bolts[2],
        reason="Measured again. Wrench clicked early on bolt 3.",
        text="21.0",
    )
    yield "24 Nov 10:58"
    write_correction(
        stage.by("Isla"),
        stage.id(),
        job=job,
        words="Pump and gasket replaced. Top hose, filling and road test still to do.",
    )
    yield "24 Nov 11:03"
    stage.on("Wren", belt_on, "fan", "fan-bolts", "shroud", "belt", "adjuster")
    yield "24 Nov 11:06"
    stage.read("Wren", belt_on, "belt-give", "11.5 mm", with_="Belt gauge 1")
    stage.picture("Wren", belt_on, "belt run with the gauge", key="belt")
    yield "24 Nov 11:08"
    stage.call("Wren", belt_on)
