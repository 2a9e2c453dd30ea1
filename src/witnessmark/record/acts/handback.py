"""Acts at hand-back, before the release is signed."""

from uuid import UUID

from witnessmark.errors import BenchError
from witnessmark.record.acts.by import By
from witnessmark.record.acts.intake import must_be_open
from witnessmark.record.core import load
from witnessmark.record.models import AdviceSaid, Job
from witnessmark.record.odometer import (
    AT_HAND_BACK,
    must_be_odometer,
    must_be_same_meter,
    with_unit,
)


def say_advice(by: By, id: UUID, *, job: Job, key: str) -> AdviceSaid:
    """Write down that a piece of advice was read out to the owner."""
    by.must_take_in("hand a vehicle back")
    with by.act(
        "advice said", id, job=job, subject=job, asked={"job": job.pk, "key": key}
    ) as doing:
        if doing.is_repeated:
            return AdviceSaid.objects.get(pk=id)
        must_be_open(job)
        record = load(job)
        if key not in {one.key for one in record.advice}:
            raise BenchError(
                "This advice is not part of the job's procedure.",
                "Only what stands on the paper is said.",
                "Open the release again.",
            )
        return doing.add(AdviceSaid(id=id, job=job, key=key, **by.entry(doing)))


def read_odometer_out(by: By, id: UUID, *, job: Job, odometer: str) -> Job:
    """Write down the odometer, or the hour meter, as the vehicle leaves."""
    by.must_be_here()
    must_be_odometer(odometer, AT_HAND_BACK)
    asked = {"job": job.pk, "odometer": odometer}
    with by.act("odometer read", id, job=job, subject=job, asked=asked) as doing:
        if not doing.is_repeated:
            must_be_open(job)
            read = with_unit(job.odometer_in, odometer)
            must_be_same_meter(job.odometer_in, read)
            doing.change(job, odometer_out=read)
            doing.say(odometer=job.odometer_out)
        return job
