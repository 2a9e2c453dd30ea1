"""J-117, the meals van: the fan runs slow; three readings so far, the cause not yet named."""

from witnessmark.demo.stage import Script, Stage, moment
from witnessmark.record.acts.intake import Intake, add_complaint, open_job
from witnessmark.record.acts.sheets import pin_sheet, start_find
from witnessmark.record.acts.steps import assign_crew


def script(stage: Stage) -> Script:
    """Play the job from intake to its third reading."""
    yield "20 Nov 12:10"
    teacher = stage.by("R. Aldane")
    job = open_job(
        teacher,
        stage.id(),
        intake=Intake(
            vehicle="Meals van",
            make="Brae",
            model="12",
            serial="BRA12-INVENTED-0117",
            plate="SP 117",
            year=2012,
            odometer="96410 km",
            owner_name="Skerry Point meals service",
            owner_phone="010 0117",
            owner_address="Church Lane 9, Skerry Point",
            condition="Clean, small crack in the right mirror.",
            keys="2 sets, hook 3",
            happens="Always, worse when warm",
            old_parts_wanted=False,
            promised=moment("1 Dec 15:00"),
        ),
        complaint="The fan hardly blows. It was fine in summer.",
        section=stage.sections["Year 2 group"],
        bay=stage.bays["3"],
        number=117,
    )
    yield "20 Nov 12:15"
    pin_sheet(teacher, stage.id(), job=job, item=stage.library["fan"])
    said = job.complaints.get()
    add_complaint(
        teacher,
        stage.id(),
        job=job,
        words=said.words,
        trust=said.trust,
        key="slow",
        comes_and_goes=False,  # always, the intake says
        replaces=said,
    )
    crew = [stage.people[name] for name in ("Mika", "Oona")]
    assign_crew(teacher, stage.id(), job=job, people=crew)
    find = start_find(teacher, stage.id(), job=job, minutes=60)

    yield "24 Nov 10:46"
    stage.start("Mika", find)
    yield "24 Nov 10:58"
    stage.read(
        "Mika", find, "lamp D state=run", "", outcome="lit", present="yes", with_="Test lamp 1"
    )
    yield "24 Nov 11:02"
    stage.read("Mika", find, "volts A state=run", "12.5 V", present="yes", with_="Meter 2")
    yield "24 Nov 11:06"
    stage.read("Oona", find, "volts D state=run", "12.2 V", present="yes", with_="Meter 2")
