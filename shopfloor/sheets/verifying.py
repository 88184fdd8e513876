"""
Is this the sheet that the workshop signed? What anybody is told, by a code, a digest or a file.

Shows what was signed and nothing else of the job.
"""

import json
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from django.core.files.uploadedfile import UploadedFile
from django.db.models import Q, QuerySet

from shopfloor.sheets.codes import read_code, read_digest
from shopfloor.sheets.keys import is_signed_by
from shopfloor.sheets.models import SheetVersion


@dataclass(frozen=True)
class Verified:
    """A version with what verifying it came to."""

    version: SheetVersion
    statement: dict[str, Any]
    is_genuine: bool
    newest: SheetVersion

    @property
    def is_newest(self) -> bool:
        return self.newest.pk == self.version.pk

    @property
    def is_taken_back(self) -> bool:
        """The bike went back to the stand after it was released."""
        return self.version.job.released_at is None


def find_by_words(typed: str) -> SheetVersion | None:
    """The version behind a code, or behind the digest of its content or of a PDF of it."""
    code, digest = read_code(typed), read_digest(typed)
    if code:
        return _versions().filter(code=code).first()
    if digest:
        found = Q(content_sha256=digest) | Q(files__sha256=digest)
        return _versions().filter(found).first()
    return None


def find_by_file(file: "UploadedFile[Any]") -> SheetVersion | None:
    """The version that was handed out as exactly these bytes; nothing in the file is read."""
    digest = sha256()
    for chunk in file.chunks():
        digest.update(chunk)
    return _versions().filter(files__sha256=digest.hexdigest()).first()


def verify(version: SheetVersion) -> Verified:
    """Verify the signature anew, and that what is kept here is still what was signed."""
    statement: dict[str, Any] = json.loads(version.statement)
    content = version.content.encode()
    is_kept = not content or sha256(content).hexdigest() == statement["content_sha256"]
    is_signed = is_signed_by(
        key=version.key, text=version.statement, signature_hex=version.signature_hex
    )
    newest = _versions().filter(job=version.job_id).latest("number")
    return Verified(version, statement, is_kept and is_signed, newest)


def _versions() -> QuerySet[SheetVersion]:
    return SheetVersion.objects.select_related("key", "job__workshop")
