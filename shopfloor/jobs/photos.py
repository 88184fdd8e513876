"""Photos from phones: checked, made anew without their hidden data, kept by hash."""

import io
import os
import warnings
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from uuid import uuid4

from django.conf import settings
from PIL import Image, ImageOps

from shopfloor.jobs.models import Photo
from shopfloor.words import gettext as _
from shopfloor.workshop.models import Workshop

MAX_BYTES = 10 * 1024 * 1024
MAX_PIXELS = 40_000_000
LONG_SIDE = 1600
SMALL_SIDE = 320


class PhotoRefused(Exception):
    """The body is not a photo that can be kept."""


class PhotoNotHere(Exception):
    """The photo has not arrived from the phone yet."""


def store_photo(*, workshop: Workshop, name: str, data: bytes, at: datetime) -> Photo:
    """
    Keep a photo under the hash of what was sent; a second time is free.

    name  SHA-256 of `data`, lower-case hex
    Raises PhotoRefused.
    """
    known = _find(workshop, name)
    if known and _path(known).exists():
        return known
    if len(data) > MAX_BYTES:
        raise PhotoRefused(_("This photo is larger than 10 MB. Take it again at a smaller size."))
    if sha256(data).hexdigest() != name:
        raise PhotoRefused(_("The photo arrived damaged. Send it again."))
    image = _remake(data)
    file = Path(str(workshop.id)) / name[:2] / f"{name}.jpg"
    _write(image, settings.MEDIA_ROOT / file)
    photo, _made = Photo.objects.get_or_create(
        workshop=workshop,
        sha256=name,
        defaults={
            "file": str(file),
            "width": image.width,
            "height": image.height,
            "stored_at": at,
        },
    )
    return photo


def _find(workshop: Workshop, name: str) -> Photo | None:
    return Photo.objects.filter(workshop=workshop, sha256=name).first()


def _path(photo: Photo) -> Path:
    return Path(settings.MEDIA_ROOT / photo.file)


def _remake(data: bytes) -> Image.Image:
    """Decode, turn upright, shrink, and paste on a fresh canvas: nothing hidden comes along."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            source = Image.open(io.BytesIO(data), formats=("JPEG", "PNG", "WEBP"))
        if source.width * source.height > MAX_PIXELS:
            raise PhotoRefused(
                _("This picture has too many pixels. Take it again at a smaller size.")
            )
        upright = ImageOps.exif_transpose(source).convert("RGB")
    except PhotoRefused:
        raise
    except Exception as error:
        # A damaged picture makes the decoder fail in a dozen ways, struct.error among them.
        raise PhotoRefused(_("This is not a JPEG, PNG or WebP picture.")) from error
    upright.thumbnail((LONG_SIDE, LONG_SIDE))
    fresh = Image.new("RGB", upright.size)
    fresh.paste(upright)
    return fresh


def _write(image: Image.Image, path: Path) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    # A phone that lost patience sends the same photo again while the first is still being made.
    part = path.with_suffix(f".{uuid4().hex}.part")
    with part.open("wb") as file:
        image.save(file, "JPEG", quality=82, optimize=True)
        file.flush()
        # The phone gives its copy up once this is said to be here.
        os.fsync(file.fileno())
    part.replace(path)
    folder = os.open(path.parent, os.O_RDONLY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)


def is_stored(*, workshop: Workshop, name: str) -> bool:
    """Whether a photo has arrived whole."""
    photo = _find(workshop, name)
    return photo is not None and _path(photo).exists()


def photo_path(*, workshop: Workshop, name: str, small: bool = False) -> Path:
    """
    Where a photo lies; a small one is made when it is first asked for. Raises PhotoNotHere.
    """
    photo = _find(workshop, name)
    if photo is None or not _path(photo).exists():
        raise PhotoNotHere(_("This photo is still on the phone that took it."))
    return _small(_path(photo)) if small else _path(photo)


def _small(path: Path) -> Path:
    made = path.with_suffix(".small.jpg")
    if not made.exists():
        with Image.open(path) as image:
            image.draft("RGB", (2 * SMALL_SIDE, 2 * SMALL_SIDE))
            image.thumbnail((SMALL_SIDE, SMALL_SIDE))
            _write(image, made)
    return made
