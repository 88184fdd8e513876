"""
The short code of a signed sheet, as it is printed beside its square code and typed by hand.

Pure. The letters are those of Crockford's base 32: no letter can be taken for a digit.
"""

import re
from hashlib import sha256

ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
# 16 letters are 80 bits: nobody finds a sheet by trying, nor another text for the same code.
LENGTH = 16
GROUP = 4
_MISREAD = str.maketrans("OIL", "011")
_DIGEST = re.compile(r"[0-9a-f]{64}")


def code_of(statement: str) -> str:
    """The first 80 bits of the statement's SHA-256 in 16 letters."""
    number = int.from_bytes(sha256(statement.encode()).digest()[:10], "big")
    return "".join(ALPHABET[number >> shift & 31] for shift in range(5 * LENGTH - 5, -1, -5))


def grouped(code: str) -> str:
    """As it is printed: ABCD-EFGH-JKMN-PQRS."""
    return "-".join(code[start : start + GROUP] for start in range(0, len(code), GROUP))


def read_code(typed: str) -> str | None:
    """The code in what somebody typed, with any spaces, hyphens and small letters; or None."""
    text = re.sub(r"[\s\-–]", "", typed).upper().translate(_MISREAD)
    is_code = len(text) == LENGTH and set(text) <= set(ALPHABET)
    return text if is_code else None


def read_digest(typed: str) -> str | None:
    """A SHA-256 in what somebody typed, 64 hexadecimal digits; or None."""
    text = re.sub(r"\s", "", typed).lower()
    return text if _DIGEST.fullmatch(text) else None
