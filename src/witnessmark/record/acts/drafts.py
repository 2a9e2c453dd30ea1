"""Acts on circuit sheets that are half done: kept as often as one likes, then ended."""

from uuid import UUID

from witnessmark.record.acts.by import By, Conflict
from witnessmark.shop.models import CircuitDraft, LibraryItem
from witnessmark.work.digest import text_digest

LONGEST_TITLE = 160


def keep_draft(
    by: By,
    id: UUID,
    *,
    draft_id: UUID,
    title: str,
    text: str,
    base: str = "",
    begun_from: LibraryItem | None = None,
) -> CircuitDraft:
    """Keep a circuit sheet as far as it is typed, right or not.

    `base` is the digest of the text that the page began from: a sheet that somebody else has kept
    meanwhile is not written over. Keeping what stands already says nothing in the log.
    """
    by.must_be_teacher("enter a circuit sheet")
    digest, title = text_digest(text), title.strip()[:LONGEST_TITLE]
    there = CircuitDraft.objects.filter(pk=draft_id).first()
    if there is not None and there.digest == digest and there.ended_at is None:
        return there
    asked = {"draft": draft_id, "digest": digest, "base": base, "from": begun_from}
    with by.act("circuit kept", id, asked=asked) as doing:
        draft = CircuitDraft.objects.filter(pk=draft_id).first()
        if doing.is_repeated and draft is not None:
            return draft
        if draft is None:
            draft = CircuitDraft(
                id=draft_id,
                title=title,
                text=text,
                digest=digest,
                begun_from=begun_from,
                kept_by=by.person,
                at=doing.at,
            )
            doing.say(subject=draft)
            return doing.add(draft)
        must_go_on(draft)
        if draft.digest != base:
            raise Conflict(
                f"{draft.kept_by.name} kept this sheet while you were typing.",
                "Two may not write over each other.",
                "Keep yours as a second sheet, then put both together.",
                theirs=draft,
                yours=text,
            )
        doing.say(subject=draft)
        return doing.change(
            draft, title=title, text=text, digest=digest, kept_by=by.person, at=doing.at
        )


def end_draft(by: By, id: UUID, *, draft: CircuitDraft) -> CircuitDraft:
    """Take a half-done sheet off the shelf; its text stays on record."""
    by.must_be_teacher("take a half-done sheet off the shelf")
    with by.act("circuit ended", id, subject=draft, asked={"draft": draft.pk}) as doing:
        if doing.is_repeated:
            return CircuitDraft.objects.get(pk=draft.pk)
        must_go_on(draft)
        return doing.change(draft, ended_at=doing.at)


def must_go_on(draft: CircuitDraft) -> None:
    """Refuse a draft that has ended: in the Library, or off the shelf."""
    now = CircuitDraft.objects.select_related("became").get(pk=draft.pk)
    if now.ended_at is None:
        return
    where = f"in the Library as {now.became}" if now.became else "off the shelf"
    raise Conflict(
        f"This half-done sheet is {where}.",
        "One that has ended is not changed any more.",
        "Keep yours as a second sheet.",
        theirs=now,
        yours=draft,
    )
