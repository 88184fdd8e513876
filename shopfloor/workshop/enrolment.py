"""How a phone becomes a device of the workshop: by a code from the desk, or by signing in on it."""

from collections.abc import Iterable
from datetime import datetime, timedelta
from hashlib import sha256
from typing import NamedTuple
from uuid import UUID

from django.conf import settings
from django.db import transaction
from django.utils.crypto import salted_hmac

from shopfloor.journal.permissions import check_can_enrol
from shopfloor.words import gettext as _
from shopfloor.workshop.models import (
    Device,
    DeviceKind,
    EnrolCode,
    Person,
    Workshop,
    WrongCode,
    new_token,
    token_hash,
)

HOLDS = timedelta(minutes=10)
# Codes that nobody used are of no interest to anybody after this.
KEPT = timedelta(days=1)
# 32 letters and digits, none of which is taken for another; 26 of them carry 130 bits.
ALPHABET = "0123456789abcdefghjkmnpqrstvwxyz"
SECRET_LENGTH = 26
# What is read in their place when somebody types the code.
TAKEN_FOR = str.maketrans({"o": "0", "i": "1", "l": "1", "u": "v", "-": "", " ": ""})

TRIES = 10
TRIES_COUNT_FOR = timedelta(minutes=5)


class CodeRefused(Exception):
    """The code makes this phone known to no workshop; `code` says why in one word."""

    def __init__(self, code: str, message: str) -> None:
        super().__init__(message)
        self.code = code


class Enrolled(NamedTuple):
    """A phone's new name and the token it speaks with; the token is told this once only."""

    device: Device
    token: str


def make_code(
    *, workshop: Workshop, name: str, replaces: Device | None, by: Person, at: datetime
) -> EnrolCode:
    """
    A code for one phone, good for ten minutes. An earlier one for a phone of this name ends.

    replaces  a phone that is gone; it is signed out when the new one comes

    Raises NotAllowed.
    """
    check_can_enrol(by.role, own=False)
    unused = EnrolCode.objects.filter(workshop=workshop, used_at=None)
    unused.filter(expires_at__lt=at - KEPT).delete()
    unused.filter(name=name, expires_at__gt=at).update(expires_at=at)
    code = EnrolCode(
        workshop=workshop,
        name=name,
        replaces=replaces,
        made_by=by,
        made_at=at,
        expires_at=at + HOLDS,
    )
    code.secret_hash = token_hash(secret_of(code))
    code.save()
    return code


def secret_of(code: EnrolCode) -> str:
    """What the phone must know: derived, so that it is stored nowhere."""
    told = salted_hmac(
        "shopfloor.workshop.enrol", str(code.id), secret=settings.SECRET_KEY, algorithm="sha256"
    )
    number = int.from_bytes(told.digest(), "big")
    return "".join(ALPHABET[number >> (5 * place) & 31] for place in range(SECRET_LENGTH))


def grouped(code: EnrolCode) -> str:
    """The secret as one may read it out or type it."""
    secret = secret_of(code)
    return " ".join(secret[at : at + 4] for at in range(0, SECRET_LENGTH, 4))


def address_of(code: EnrolCode) -> str:
    """What stands in the picture; a browser never sends what comes after the “#”."""
    return f"{settings.BASE_URL}/bench/enrol#{secret_of(code)}"


def enrol_by_code(
    *, secret: str, former: Iterable[UUID], attempt: UUID | None, tried_from: str, at: datetime
) -> Enrolled:
    """
    Make the phone that knows the secret a device. The same attempt may come again while the code
    holds, since its answer may have been lost: it gets a new token for the same device.

    former      what the phone has been called before, as it says
    tried_from  where the request came from; who tries too many wrong codes has to wait

    Raises CodeRefused.
    """
    _check_may_try(tried_from, at)
    typed = token_hash(secret.lower().translate(TAKEN_FOR))
    with transaction.atomic():
        code = EnrolCode.objects.select_for_update().filter(secret_hash=typed).first()
        if code is not None:
            return _use(code, former=former, attempt=attempt, at=at)
    _note_wrong(tried_from, at)
    raise CodeRefused(
        "unknown-code",
        _("This code is not known here. Make a new one at the desk and scan that."),
    )


def _use(
    code: EnrolCode, *, former: Iterable[UUID], attempt: UUID | None, at: datetime
) -> Enrolled:
    if code.expires_at <= at:
        sentence = _("This code was good for ten minutes. Make a new one at the desk.")
        raise CodeRefused("expired-code", sentence)
    if code.device is None:
        return _first_use(code, former=former, attempt=attempt, at=at)
    if attempt is None or code.attempt != attempt:
        sentence = _(
            "This code has been used for “{name}”. Each phone needs its own: make a new one at"
            " the desk."
        ).format(name=code.name)
        raise CodeRefused("used-code", sentence)
    token = new_token()
    code.device.token_hash = token_hash(token)
    code.device.save(update_fields=["token_hash"])
    return Enrolled(code.device, token)


def _first_use(
    code: EnrolCode, *, former: Iterable[UUID], attempt: UUID | None, at: datetime
) -> Enrolled:
    been = [*former, *([code.replaces_id] if code.replaces_id else [])]
    enrolled = _enrol(code.workshop, name=code.name, person=None, former=been, at=at)
    if code.replaces_id:
        Device.objects.filter(pk=code.replaces_id, revoked_at=None).update(revoked_at=at)
    code.used_at, code.device, code.attempt = at, enrolled.device, attempt
    code.save(update_fields=["used_at", "device", "attempt"])
    return enrolled


def enrol_own(*, person: Person, name: str, at: datetime, former: Iterable[UUID] = ()) -> Enrolled:
    """Make the phone on which somebody signed in a device of their workshop."""
    check_can_enrol(person.role)
    wanted = name.strip()[:60] or _("{name}'s phone").format(name=person.name)
    return _enrol(person.workshop, name=wanted, person=person, former=former, at=at)


def _enrol(
    workshop: Workshop, *, name: str, person: Person | None, former: Iterable[UUID], at: datetime
) -> Enrolled:
    token = new_token()
    device = Device.objects.create(
        workshop=workshop,
        kind=DeviceKind.PHONE,
        name=name,
        person=person,
        former=_lineage(workshop, former),
        token_hash=token_hash(token),
        created_at=at,
        seen_at=at,
    )
    return Enrolled(device, token)


def _lineage(workshop: Workshop, former: Iterable[UUID]) -> list[str]:
    """Those names that were phones of this workshop, and what they had been before."""
    phones = workshop.devices.filter(kind=DeviceKind.PHONE, id__in=list(former))
    return sorted({one for phone in phones for one in (*phone.former, str(phone.pk))})


def _check_may_try(tried_from: str, at: datetime) -> None:
    recent = WrongCode.objects.filter(tried_from=_hidden(tried_from), at__gt=at - TRIES_COUNT_FOR)
    if recent.count() >= TRIES:
        sentence = _("Too many wrong codes were tried from here. Wait five minutes, then try.")
        raise CodeRefused("too-many-tries", sentence)


def _note_wrong(tried_from: str, at: datetime) -> None:
    WrongCode.objects.filter(at__lt=at - TRIES_COUNT_FOR).delete()
    WrongCode.objects.create(tried_from=_hidden(tried_from), at=at)


def _hidden(tried_from: str) -> str:
    return sha256(tried_from.encode()).hexdigest()
