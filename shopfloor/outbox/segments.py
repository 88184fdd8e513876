"""How many segments a text costs, how it costs fewer, and the link that opens it in a phone."""

import unicodedata
from collections.abc import Iterator, Sequence
from typing import Final, NamedTuple
from urllib.parse import quote

# 3GPP TS 23.038, 6.2.1: the default alphabet, and the characters that cost an escape.
GSM_BASIC: Final = frozenset(
    "@£$¥èéùìòÇ\nØø\rÅåΔ_ΦΓΛΩΠΨΣΘΞÆæßÉ !\"#¤%&'()*+,-./0123456789:;<=>?"
    "¡ABCDEFGHIJKLMNOPQRSTUVWXYZÄÖÑÜ§¿abcdefghijklmnopqrstuvwxyzäöñüà"
)
GSM_EXTENDED: Final = frozenset("\f^{}\\[~]|€")
# Characters of one text, and of one part of a longer one (3GPP TS 23.040, 9.2.3.24.1).
GSM_LIMITS: Final = (160, 153)
UCS2_LIMITS: Final = (70, 67)

_PLAIN: Final = str.maketrans(
    {
        "‘": "'", "’": "'", "“": '"', "”": '"', "„": '"', "–": "-", "—": "-", "‑": "-", "…": "...",
        "\u00a0": " ", "\u202f": " ", "\u2009": " ", "×": "x", "·": ".", "`": "'", "\t": " ",
        "Ł": "L", "ł": "l", "Đ": "D", "đ": "d", "ı": "i",
    }
)  # fmt: skip


class Segments(NamedTuple):
    """What a text costs; units are septets in GSM-7 and 16-bit units in UCS-2."""

    encoding: str
    units: int
    segments: int
    per_segment: list[int]


class SmsLinks(NamedTuple):
    """By RFC 5724, and in the form that more phones are said to take."""

    standard: str
    tolerant: str


def sms_segments(text: str) -> Segments:
    """
    Encoding, units and segments of a text.

    Source: 3GPP TS 23.038 and 23.040. No escape pair and no surrogate pair is cut in two.
    """
    is_gsm = all(letter in GSM_BASIC or letter in GSM_EXTENDED for letter in text)
    costs = list(_gsm_costs(text) if is_gsm else _ucs2_costs(text))
    single, part = GSM_LIMITS if is_gsm else UCS2_LIMITS
    units = sum(costs)
    parts = [units] * (units > 0) if units <= single else _filled(costs, part)
    return Segments("GSM-7" if is_gsm else "UCS-2", units, len(parts), parts)


def _gsm_costs(text: str) -> Iterator[int]:
    return (2 if letter in GSM_EXTENDED else 1 for letter in text)


def _ucs2_costs(text: str) -> Iterator[int]:
    return (2 if ord(letter) > 0xFFFF else 1 for letter in text)


def _filled(costs: Sequence[int], room: int) -> list[int]:
    parts = [0]
    for cost in costs:
        if parts[-1] + cost > room:
            parts.append(0)
        parts[-1] += cost
    return parts


def sms_link(to: str, body: str) -> SmsLinks:
    """Links that open the phone's own messages with number and text filled in."""
    escaped = quote(body, safe="")
    return SmsLinks(f"sms:{to}?body={escaped}", f"sms:{to}?&body={escaped}")


def plain_text(text: str) -> str:
    """
    The same text in the cheap alphabet as far as it can still be read.

    Marks are exchanged and accents dropped; other scripts stay as they are.
    """
    text = unicodedata.normalize("NFC", text).translate(_PLAIN)
    return "".join(_plain_letter(letter) for letter in text)


def _plain_letter(letter: str) -> str:
    if letter in GSM_BASIC or letter in GSM_EXTENDED:
        return letter
    base = unicodedata.normalize("NFD", letter)[0]
    return base if base in GSM_BASIC else letter
