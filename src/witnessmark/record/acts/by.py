"""Who acts, on which device, and when it was done."""

from collections.abc import Mapping
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from witnessmark.errors import BenchError
from witnessmark.log.act import Act, act
from witnessmark.people.models import Device, Person, Role
from witnessmark.record.crews import works_on
from witnessmark.record.models import Job
from witnessmark.shop import clock


@dataclass(frozen=True, slots=True, kw_only=True)
class By:
    """The person who acts, the shared device if there is one, and when it was done.

    `done_at` is given by an entry that was typed earlier, without connection.
    """

    person: Person
    device: Device | None = None
    done_at: datetime | None = None

    def act(
        self, verb: str, id: UUID, *, job: Any = None, subject: Any = None, asked: Mapping[str, Any]
    ) -> AbstractContextManager[Act]:
        """Open the act's transaction; its entry is written at the end."""
        return act(
            verb,
            id,
            now=clock.now,
            actor=self.person.pk,
            device=self.device,
            job=job,
            subject=subject,
            asked=asked,
        )

    def entry(self, doing: Act) -> dict[str, Any]:
        """Return the columns that every row of evidence has."""
        done_at = doing.at if self.done_at is None else min(self.done_at, doing.at)
        return {
            "by": self.person,
            "device": self.device,
            "done_at": done_at,
            "received_at": doing.at,
        }

    def must_be_teacher(self, what: str) -> None:
        """Refuse anyone but a teacher."""
        if not self.person.may_mark:
            raise NotAllowed(
                f"You are signed in as {_role(self.person)}.",
                f"Only a teacher may {what}.",
                "Call the teacher.",
            )

    def must_take_in(self, what: str) -> None:
        """Refuse anyone but a teacher or the office."""
        if not self.person.may_take_in:
            raise NotAllowed(
                f"You are signed in as {_role(self.person)}.",
                f"Only a teacher or the office may {what}.",
                "Call the teacher.",
            )

    def must_work_on(self, job: Job) -> None:
        """Refuse the office, and a learner who has no work in the job now."""
        self.must_be_here()
        if self.person.role == Role.OFFICE:
            raise NotAllowed(
                "You are signed in as the office.",
                "Work is entered by who does it.",
                "Ask the crew at the vehicle.",
            )
        if self.person.is_learner and not works_on(self.person, job):
            raise NotAllowed(
                f"You are not in the crew of {job.shown_number}.",
                "Work is entered by who does it.",
                "Ask the teacher to put you on the job.",
            )

    def must_be_here(self) -> None:
        """Refuse someone who is no longer in the shop."""
        if not self.person.is_active:
            raise NotAllowed(
                "This person is no longer in the shop.",
                "An entry needs someone who is.",
                "Sign in as yourself.",
            )


class NotAllowed(BenchError):  # noqa: N818 - reads as a sentence
    """Someone tried what their role does not allow."""


class Conflict(BenchError):  # noqa: N818 - reads as a sentence
    """Two people changed the same thing; both are carried, so that a page can show them."""

    def __init__(self, found: str, needed: str, do: str, *, theirs: Any, yours: Any) -> None:
        super().__init__(found, needed, do)
        self.theirs, self.yours = theirs, yours


def _role(person: Person) -> str:
    return {"office": "the office", "aide": "an aide"}.get(person.role, f"a {person.role}")
