"""The public page on which anybody verifies a service sheet; it asks for nothing private."""

from collections.abc import Callable
from datetime import datetime
from functools import wraps
from typing import Any

from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from shopfloor.sheets import words
from shopfloor.sheets.codes import grouped, read_code
from shopfloor.sheets.keys import public_pem
from shopfloor.sheets.models import SheetVersion
from shopfloor.sheets.verifying import Verified, find_by_file, find_by_words, verify
from shopfloor.words import gettext as _

LONGEST = 200
LARGEST_BYTES = 10_000_000
# With the three files under the names that they are handed out by.
COMMAND = (
    "openssl pkeyutl -verify -pubin -inkey workshop-key.pem -rawin -in statement.json"
    " -sigfile statement.sig"
)


@require_http_methods(["GET", "HEAD", "POST"])
def look_up(request: HttpRequest) -> HttpResponse:
    """A code or a file in, the page of its sheet out."""
    if request.method != "POST":
        return render(request, "sheets/look_up.html", {})
    typed, file = request.POST.get("code", "").strip()[:LONGEST], request.FILES.get("file")
    if file is not None:
        found, problem = _of_file(file)
    else:
        found, problem = find_by_words(typed), _unknown(typed)
    if found:
        return redirect("sheet-check-code", found.code)
    refused = {"problem": problem, "typed": typed}
    return render(request, "sheets/look_up.html", refused, status=422)


def _of_file(file: "UploadedFile[Any]") -> tuple[SheetVersion | None, str]:
    if (file.size or 0) > LARGEST_BYTES:
        return None, _("This file is larger than any service sheet.")
    return find_by_file(file), _not_issued()


def _not_issued() -> str:
    return _(
        "This file is none that was handed out here, or it was altered. A sheet that was printed "
        "into a new file or saved by another program is another file too, even if it looks the "
        "same: take the code that is printed on it, and compare."
    )


def _unknown(typed: str) -> str:
    if not typed:
        return _("Type the code that is printed on the sheet, or choose its file.")
    if read_code(typed):
        return _("No sheet has this code. Compare it letter by letter with the sheet.")
    return _(
        "This is no code of a sheet: it has 16 letters and digits, in four groups of four. The "
        "long digest of a sheet has 64."
    )


def _found(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Give the view the version behind the code in the address; a code that is none goes back."""

    @wraps(view)
    def looked_up(request: HttpRequest, code: str) -> HttpResponse:
        version = find_by_words(code[:LONGEST])
        if version is None:
            refused = {"problem": _unknown(code), "typed": code[:LONGEST]}
            return render(request, "sheets/look_up.html", refused, status=404)
        return view(request, version)

    return looked_up


@require_http_methods(["GET", "HEAD", "POST"])
@_found
def check(request: HttpRequest, version: SheetVersion) -> HttpResponse:
    """What was signed, whether it holds, and whether a file is this sheet."""
    context = _context(verify(version))
    file = request.FILES.get("file")
    if request.method == "POST" and file is not None:
        context |= _compared(file, version)
    return render(request, "sheets/verified.html", context)


def _compared(file: "UploadedFile[Any]", version: SheetVersion) -> dict[str, Any]:
    found, problem = _of_file(file)
    if found is None:
        return {"file_says": problem, "file_is": ""}
    if found.pk == version.pk:
        return {"file_says": _("Yes: this file is this sheet, byte for byte."), "file_is": "same"}
    told = _("This file is version {number} of the sheet {job}, not this one.")
    return {
        "file_says": told.format(number=found.number, job=found.job.tag),
        "file_is": "other",
        "file_code": found.code,
    }


def _context(verified: Verified) -> dict[str, Any]:
    version = verified.version
    zone = version.job.workshop.timezone
    return {
        "verified": verified,
        "version": version,
        "statement": verified.statement,
        "code": grouped(version.code),
        "released": words.moment(_moment(verified.statement["released"]), zone),
        "signed": words.moment(version.signed_at, zone),
        "newest_signed": words.moment(verified.newest.signed_at, zone),
        "retired": words.day(version.key.retired_at, zone),
        "pem": public_pem(version.key),
        "command": COMMAND,
    }


def _moment(text: str) -> datetime:
    return datetime.fromisoformat(text)


@require_safe
@_found
def statement(request: HttpRequest, version: SheetVersion) -> HttpResponse:
    """The signed text, byte for byte."""
    return _file(version.statement.encode(), "application/json", "statement.json")


@require_safe
@_found
def signature(request: HttpRequest, version: SheetVersion) -> HttpResponse:
    """The 64 bytes of the signature."""
    data = bytes.fromhex(version.signature_hex)
    return _file(data, "application/octet-stream", "statement.sig")


@require_safe
@_found
def key(request: HttpRequest, version: SheetVersion) -> HttpResponse:
    """The public key that belongs to it."""
    return _file(public_pem(version.key).encode(), "application/x-pem-file", "workshop-key.pem")


def _file(data: bytes, kind: str, name: str) -> HttpResponse:
    response = HttpResponse(data, content_type=kind)
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response
