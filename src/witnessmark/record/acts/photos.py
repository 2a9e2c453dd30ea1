"""Acts that add photos: made anew from what was sent, without place, camera or name."""

import hashlib
import io
import os
from pathlib import Path
from uuid import UUID, uuid4

from django.conf import settings

from witnessmark.errors import BenchError
from witnessmark.record.acts.by import By
from witnessmark.record.acts.intake import must_be_open
from witnessmark.record.acts.replacing import must_have_reason, must_stand
from witnessmark.record.acts.steps import must_be_begun
from witnessmark.record.models import Photo, Step
from witnessmark.record.specs import spec_of

LONGEST_SIDE_PX = 2000
LARGEST_BYTES = 20_000_000
MOST_PIXELS = 60_000_000  # a larger picture is refused before it is unpacked


def keep_photo(
    by: By, id: UUID, *, step: Step, content: bytes, key: str = "", caption: str = ""
) -> Photo:
    """Keep a photo of a step; `key` says which needed photo it is."""
    return _keep(by, id, step=step, content=content, key=key, caption=caption)


def replace_photo(
    by: By, id: UUID, *, photo: Photo, content: bytes, reason: str, caption: str = ""
) -> Photo:
    """Replace a photo; the old one stays on the record. Breaks the step's mark, if it has one."""
    must_have_reason(reason, "new photo", "photo")
    return _keep(
        by,
        id,
        step=photo.step,
        content=content,
        key=photo.key,
        caption=caption,
        replaces=photo,
        reason=reason,
    )


def must_be_small_enough(size: int) -> None:
    """Refuse a photo of too many bytes, before it is read where that is known."""
    if size > LARGEST_BYTES:
        raise BenchError(
            f"The photo is {size / 1e6:.0f} MB.",
            f"At most {LARGEST_BYTES / 1e6:.0f} MB can be kept.",
            "Take it again with a smaller picture size.",
        )


def made_anew(content: bytes) -> tuple[bytes, int, int]:
    """Return the picture as a plain JPEG with its width and height, turned upright.

    Only pixels are carried over, so nothing else that the camera wrote comes along.
    """
    from PIL import Image, ImageOps

    must_be_small_enough(len(content))
    try:
        with Image.open(io.BytesIO(content), formats=["JPEG", "PNG", "WEBP"]) as sent:
            if sent.width * sent.height > MOST_PIXELS:
                raise BenchError(
                    f"The photo has {sent.width} × {sent.height} pixels.",
                    f"At most {MOST_PIXELS // 1_000_000} million can be kept.",
                    "Take it again with a smaller picture size.",
                )
            picture = ImageOps.exif_transpose(sent).convert("RGB")
    except BenchError:
        raise
    except (OSError, ValueError, EOFError, SyntaxError, Image.DecompressionBombError) as error:
        raise BenchError(
            "This file is not a photo that can be opened.",
            "A JPEG, PNG or WebP picture is needed.",
            "Take the photo again.",
        ) from error
    picture.thumbnail((LONGEST_SIDE_PX, LONGEST_SIDE_PX))
    plain = Image.new("RGB", picture.size)
    plain.paste(picture)
    out = io.BytesIO()
    plain.save(out, format="JPEG", quality=85)
    return out.getvalue(), plain.width, plain.height


def _keep(
    by: By,
    id: UUID,
    *,
    step: Step,
    content: bytes,
    key: str,
    caption: str,
    replaces: Photo | None = None,
    reason: str = "",
) -> Photo:
    by.must_work_on(step.job)
    asked = {
        "step": step.pk,
        "content": hashlib.sha256(content).hexdigest(),
        "key": key,
        "caption": caption,
        "replaces": replaces,
        "reason": reason,
    }
    if key and key not in {need.key for need in spec_of(step).photos}:
        raise BenchError(
            f"Step {step.position} asks for no such photo.",
            "A photo is one that the step asks for, or one besides.",
            "Open the step again.",
        )
    made, width_px, height_px = made_anew(content)
    verb = "photo added" if replaces is None else "photo replaced"
    with by.act(verb, id, job=step.job, subject=step, asked=asked) as doing:
        if doing.is_repeated:
            return Photo.objects.get(pk=id)
        must_be_open(step.job)
        must_be_begun(step)
        if replaces is not None:
            must_stand(replaces, yours=caption)
        name = f"{uuid4().hex}.jpg"  # of its own, so that no entry is told by the file's name
        folder = Path(settings.MEDIA_ROOT)
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        _write_whole(folder / name, made)
        picture = doing.file("photo", name, made)
        return doing.add(
            Photo(
                id=id,
                job_id=step.job_id,
                step=step,
                key=key,
                picture_aside=picture,
                caption_aside=doing.words("caption", caption),
                digest=picture.digest,
                width_px=width_px,
                height_px=height_px,
                replaces=replaces,
                reason_aside=doing.words("reason", reason),
                **by.entry(doing),
            )
        )


def _write_whole(path: Path, content: bytes) -> None:
    """Write the file so that it is on the disk before its row is."""
    with path.open("xb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
