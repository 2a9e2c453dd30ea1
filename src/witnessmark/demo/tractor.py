"""J-112, the harbour tow tractor: worn brake shoes, all done, ready to go to its owner."""

from witnessmark.demo.stage import Script, Stage, moment
from witnessmark.record.acts.causes import name_cause, write_correction
from witnessmark.record.acts.handback import read_odometer_out, say_advice
from witnessmark.record.acts.intake import Intake, open_job
from witnessmark.record.acts.parts import order_part, part_arrived
from witnessmark.record.acts.sheets import choose_procedure, start_work
from witnessmark.record.acts.steps import assign_crew, call_teacher
from witnessmark.record.core import load


def script(stage: Stage) -> Script:
    """Play the job from intake to the open gate."""
    yield "9 Nov 08:10"
    teacher = stage.by("R. Aldane")
    job = open_job(
        teacher,
        stage.id(),
        intake=Intake(
            vehicle="Tow tractor",
            make="Tolmie",
            model="T2",
            serial="TLM2-INVENTED-0112",
            year=2014,
            odometer="6120 km",
            owner_name="Skerry Point harbour office",
            owner_phone="010 0112",
            owner_address="The Slip 1, Skerry Point",
            condition="Tow hook bent, paint worn.",
            keys="1 key, hook 2",
            happens="On the slip, loaded",
            old_parts_wanted=False,
            promised=moment("30 Nov 15:00"),
        ),
        complaint="Park brake does not hold on the slip.",
        section=stage.sections["Year 2 group"],
        bay=stage.bays["2"],
        number=112,
    )
    crew = [stage.people[name] for name in ("Joss", "Priya")]
    assign_crew(teacher, stage.id(), job=job, people=crew)
    choose_procedure(teacher, stage.id(), job=job, item=stage.library["brake-shoes-drum"])

    yield "13 Nov 07:50"
    start_work(teacher, stage.id(), job=job)
    yield "13 Nov 08:04"
    lift = stage.step(job, "lift")
    stage.start("Joss", lift)
    yield "13 Nov 08:18"
    stage.picture("Priya", lift, "stands under the lifting points", key="stands")
    stage.off("Joss", lift, "wheels", "Rack 2")
    stage.off("Joss", lift, "nuts", "Bag 20")
    stage.finish("Joss", lift)
    stage.call("Joss", lift)
    yield "13 Nov 08:24"
    stage.mark(lift)
    yield "13 Nov 09:22"
    worn = stage.step(job, "worn")
    stage.start("Priya", worn)
    yield "13 Nov 09:35"
    stage.off("Priya", worn, "drums", "Bench 2")
    left = stage.read(
        "Priya",
        worn,
        "lining-found",
        "1.1 mm",
        position="left",
        phase="as found",
        with_="Depth gauge 1",
    )
    stage.read(
        "Priya",
        worn,
        "lining-found",
        "1.8 mm",
        position="right",
        phase="as found",
        with_="Depth gauge 1",
    )
    yield "13 Nov 09:41"
    shown = stage.picture("Joss", worn, "left shoe, lining worn", key="left")
    stage.picture("Joss", worn, "right shoe, lining thin", key="right")
    stage.finish("Priya", worn)
    stage.call("Priya", worn)
    yield "13 Nov 09:50"
    stage.mark(worn)
    yield "13 Nov 09:52"
    name_cause(
        stage.by("Priya"),
        stage.id(),
        job=job,
        statement="Left brake shoes worn to 1.1 mm, limit 1.5. Left wheel cylinder wet.",
        how="evidence",
        step=worn,
        readings=[left],
        photos=[shown],
    )
    call_teacher(stage.by("Priya"), stage.id(), job=job, what="cause")
    yield "13 Nov 09:58"
    stage.mark_cause(job)
    yield "13 Nov 10:20"
    part = order_part(
        teacher,
        stage.id(),
        job=job,
        what="wheel cylinder, left",
        due=moment("17 Nov 12:00").date(),
        step=stage.step(job, "shoes-on"),
    )

    yield "16 Nov 10:44"
    shoes_off = stage.step(job, "shoes-off")
    stage.start("Joss", shoes_off)
    yield "16 Nov 11:20"
    for key, place in (
        ("shoes", "Bag 21"),
        ("springs", "Bag 22"),
        ("line", "at the axle"),
        ("cylinder", "Bag 21"),
    ):
        stage.off("Joss", shoes_off, key, place)
    stage.finish("Joss", shoes_off)
    yield "17 Nov 08:05"
    part_arrived(teacher, stage.id(), order=part)

    yield "17 Nov 10:43"
    shoes_on = stage.step(job, "shoes-on")
    stage.start("Priya", shoes_on)
    yield "17 Nov 11:24"
    stage.on("Priya", shoes_on, "cylinder", "line", "shoes", "springs")
    for side, text in (("left", "4.8 mm"), ("right", "4.9 mm")):
        stage.read("Joss", shoes_on, "lining-left", text, position=side, with_="Depth gauge 1")
        stage.picture("Joss", shoes_on, f"{side} shoe, new lining", key=side)
    stage.finish("Priya", shoes_on)
    stage.call("Priya", shoes_on)
    yield "17 Nov 11:36"
    stage.mark(shoes_on)

    yield "18 Nov 14:20"
    bleed = stage.step(job, "bleed")
    stage.start("Joss", bleed)
    yield "18 Nov 15:02"
    stage.on("Joss", bleed, "drums")
    stage.read("Joss", bleed, "pedal", "1.0 mm", with_="Rule 1")
    stage.finish("Joss", bleed)
    stage.call("Joss", bleed)
    yield "18 Nov 15:11"
    stage.mark(bleed)

    yield "19 Nov 10:45"
    wheels_on = stage.step(job, "wheels-on")
    stage.start("Priya", wheels_on)
    yield "19 Nov 11:05"
    stage.on("Priya", wheels_on, "wheels", "nuts")
    for side in ("left", "right"):
        stage.read("Priya", wheels_on, "nut", "140 N·m", position=side, with_="Wrench 5")
    stage.finish("Priya", wheels_on)
    stage.call("Priya", wheels_on)
    yield "19 Nov 11:12"
    stage.mark(wheels_on)
    yield "19 Nov 11:50"
    write_correction(
        stage.by("Joss"),
        stage.id(),
        job=job,
        words=(
            "Shoes replaced on both sides, left wheel cylinder replaced, brake bled and adjusted. "
            "Park brake tested on the slip."
        ),
    )

    yield "20 Nov 08:06"
    stage.release(job, "road test")
    yield "20 Nov 08:10"
    hold_test = stage.step(job, "hold-test")
    stage.start("Joss", hold_test)
    yield "20 Nov 08:26"
    stage.read("Joss", hold_test, "park-pull", "3.1 kN", with_="Pull scale 1")
    stage.finish("Joss", hold_test)
    stage.call("Joss", hold_test)
    yield "20 Nov 08:31"
    stage.mark(hold_test)
    yield "23 Nov 08:15"
    read_odometer_out(teacher, stage.id(), job=job, odometer="6123 km")
    for advice in load(job).advice:
        say_advice(teacher, stage.id(), job=job, key=advice.key)
