"""Photos that come in pieces: what has arrived is kept, and after a cut the phone goes on."""

import fcntl
import os
import re
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import datetime, timedelta
from hashlib import sha256
from pathlib import Path
from typing import BinaryIO

from django.conf import settings

from shopfloor.jobs.photos import MAX_BYTES, PhotoRefused, is_stored, store_photo
from shopfloor.words import gettext as _
from shopfloor.workshop.models import Workshop

MAX_CHUNK = 128 * 1024
# A phone that has not come back by then sends the photo from its beginning.
KEPT = timedelta(days=3)

_NAME = re.compile(r"[0-9a-f]{64}")


class WrongOffset(Exception):
    """The piece does not follow what is here; `offset` is where the next one belongs."""

    def __init__(self, offset: int) -> None:
        super().__init__(
            _("The photo is here up to byte {offset}. Go on from there.").format(offset=offset)
        )
        self.offset = offset


class ChunkRefused(Exception):
    """The piece and what was said about it do not go together."""


def arrived(*, workshop: Workshop, name: str, at: datetime) -> int | None:
    """How many bytes of a photo are here; None when all of it is."""
    if is_stored(workshop=workshop, name=name):
        return None
    path = _path(workshop, name)
    if not path.exists():
        return 0
    with _locked(path) as file:
        data = file.read()
        # The server went down between the last piece and the storing of the whole.
        if sha256(data).hexdigest() == name:
            _finish(path, workshop, name, data, at)
            return None
    return len(data)


def add_chunk(
    *, workshop: Workshop, name: str, offset: int, length: int, data: bytes, at: datetime
) -> int:
    """
    Put a piece behind what is here; answers how far the photo is here now. The last piece makes
    the photo. One that comes a second time after that changes nothing.

    name    SHA-256 of the whole photo
    length  bytes of the whole photo

    Raises WrongOffset, ChunkRefused, PhotoRefused.
    """
    if not 0 < length <= MAX_BYTES:
        raise PhotoRefused(_("This photo is larger than 10 MB. Take it again at a smaller size."))
    if offset + len(data) > length:
        raise ChunkRefused(_("There is more in this piece than is left of the photo."))
    path = _path(workshop, name)
    path.parent.mkdir(parents=True, exist_ok=True)
    with _locked(path) as file:
        if is_stored(workshop=workshop, name=name):
            path.unlink(missing_ok=True)
            return length
        here = _append(file, path, offset, length, data)
        if here == length:
            file.seek(0)
            _finish(path, workshop, name, file.read(), at)
    return here


def _append(file: BinaryIO, path: Path, offset: int, length: int, data: bytes) -> int:
    here = file.seek(0, os.SEEK_END)
    if here > length:
        path.unlink(missing_ok=True)
        raise WrongOffset(0)
    if offset != here:
        raise WrongOffset(here)
    file.write(data)
    file.flush()
    # What the phone is told to be here must be here after a power cut.
    os.fsync(file.fileno())
    return here + len(data)


def _finish(path: Path, workshop: Workshop, name: str, data: bytes, at: datetime) -> None:
    """The photo is made of the whole, or refused: either way the pieces are done with."""
    try:
        store_photo(workshop=workshop, name=name, data=data, at=at)
    finally:
        path.unlink(missing_ok=True)


@contextmanager
def _locked(path: Path) -> Iterator[BinaryIO]:
    """The file, nobody else's until the block ends; made if there is none."""
    while True:
        with path.open("a+b") as file:
            fcntl.flock(file, fcntl.LOCK_EX)
            # Whoever held it before may have finished and removed it: then this is no file's name.
            if _is_at(path, file):
                file.seek(0)
                yield file
                return


def _is_at(path: Path, file: BinaryIO) -> bool:
    try:
        return path.stat().st_ino == os.fstat(file.fileno()).st_ino
    except FileNotFoundError:
        return False


def sweep(*, at: datetime) -> int:
    """Remove pieces of photos that nobody went on with; answers of how many."""
    removed = 0
    for path in (settings.MEDIA_ROOT / "uploads").glob("*/*"):
        # Its phone may finish it while this goes on.
        with suppress(FileNotFoundError):
            if path.stat().st_mtime < (at - KEPT).timestamp():
                path.unlink()
                removed += 1
    return removed


def _path(workshop: Workshop, name: str) -> Path:
    if not _NAME.fullmatch(name):
        raise PhotoRefused(_("The photo is not named by its content."))
    return Path(settings.MEDIA_ROOT / "uploads" / str(workshop.id) / name)
