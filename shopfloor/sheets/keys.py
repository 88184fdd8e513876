"""
The workshop's key for service sheets: made once, derived like every secret of the server, replaced
when somebody asks for it or the server's own key is another one.
"""

from datetime import datetime

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from django.conf import settings
from django.db import IntegrityError, transaction
from django.utils.crypto import salted_hmac

from shopfloor.sheets.models import SheetKey
from shopfloor.workshop.models import Workshop


def current_key(*, workshop: Workshop, at: datetime) -> SheetKey:
    """The key that signs now; the first is made here, and so is one after the server's key went."""
    found = SheetKey.objects.filter(workshop=workshop, retired_at=None).first()
    if found is None:
        return _make(workshop, at)
    return found if _find_private(found) else new_key(workshop=workshop, at=at)


def new_key(*, workshop: Workshop, at: datetime) -> SheetKey:
    """From now on another key signs; what the old one signed can be verified as before."""
    with transaction.atomic():
        SheetKey.objects.filter(workshop=workshop, retired_at=None).update(retired_at=at)
        return _make(workshop, at)


def sign(*, key: SheetKey, text: str) -> str:
    """The Ed25519 signature of the text in UTF-8, 64 bytes as hexadecimal digits (RFC 8032)."""
    private = _find_private(key)
    if private is None:
        raise LookupError("The server's key that this sheet key was derived from is gone.")
    return private.sign(text.encode()).hex()


def is_signed_by(*, key: SheetKey, text: str, signature_hex: str) -> bool:
    """Whether the signature is the key's and of exactly this text."""
    try:
        _public(key).verify(bytes.fromhex(signature_hex), text.encode())
    except (InvalidSignature, ValueError):
        return False
    return True


def public_pem(key: SheetKey) -> str:
    """The public half as other programs read it: SubjectPublicKeyInfo in PEM (RFC 8410)."""
    return _public(key).public_bytes(Encoding.PEM, PublicFormat.SubjectPublicKeyInfo).decode()


def _public(key: SheetKey) -> Ed25519PublicKey:
    return Ed25519PublicKey.from_public_bytes(bytes.fromhex(key.public_hex))


def _make(workshop: Workshop, at: datetime) -> SheetKey:
    key = SheetKey(workshop=workshop, made_at=at)
    key.public_hex = _public_hex(_derive(key, settings.SECRET_KEY))
    try:
        with transaction.atomic():
            key.save()
    except IntegrityError:
        # Somebody else was the first.
        return SheetKey.objects.get(workshop=workshop, retired_at=None)
    return key


def _find_private(key: SheetKey) -> Ed25519PrivateKey | None:
    """Derived from the server's key of today or from an earlier one that it still keeps."""
    derived = (_derive(key, secret) for secret in _secrets())
    return next((one for one in derived if _public_hex(one) == key.public_hex), None)


def _secrets() -> tuple[str, ...]:
    return (settings.SECRET_KEY, *settings.SECRET_KEY_FALLBACKS)


def _derive(key: SheetKey, secret: str) -> Ed25519PrivateKey:
    seed = salted_hmac("shopfloor.sheets.key", str(key.id), secret=secret, algorithm="sha256")
    return Ed25519PrivateKey.from_private_bytes(seed.digest())


def _public_hex(private: Ed25519PrivateKey) -> str:
    return private.public_key().public_bytes_raw().hex()
