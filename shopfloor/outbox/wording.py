"""
What a text to a customer says, how many segments it costs, and the link that opens it in a phone.

Plain words, no selling. Knows no database, no clock and no provider.
"""

import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from typing import Any, Final, NamedTuple
from urllib.parse import quote

from shopfloor.words import gettext as _
from shopfloor.words import short_day
from shopfloor.workshop.currency import split_minor

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
_SIGNS: Final = {"GBP": "£", "EUR": "€", "USD": "$"}


class UnknownPurpose(ValueError):
    """There are no words for such a message."""


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


def money_words(minor: int, currency: str) -> str:
    """An amount in minor units as it stands in a text: £24.99, 24.99 €, DKK 180.00."""
    amount = "{}{}".format(*split_minor(minor, currency))
    sign = _SIGNS.get(currency)
    if sign is None:
        return f"{currency} {amount}"
    return f"{amount} {sign}" if sign == "€" else f"{sign}{amount}"


def when_words(at: datetime) -> str:
    """A local time as it stands in a text: Fri 6 Mar 17:00."""
    return f"{short_day(at)} {at:%H:%M}"


def offer_text(
    *, shop: str, bike: str, lines: Sequence[str], total: str, ready: str, link: str
) -> str:
    """Asks for a yes or no to work that was found."""
    tail = _("{ready} Please say yes or no: {link}").format(ready=_ready(ready), link=link)
    return _shortest_needed(
        _("{shop}: your {bike} also needs {listed}, {total}.{tail}").format(
            shop=shop, bike=_short(bike), listed=_listed(lines), total=total, tail=tail
        ),
        _("{shop}: your {bike} needs {things}, {total}.{tail}").format(
            shop=shop, bike=_short(bike), things=_things(lines), total=total, tail=tail
        ),
        _("{shop}: your bike needs {things}, {total}.{tail}").format(
            shop=shop, things=_things(lines), total=total, tail=tail
        ),
    )


def told_text(
    *, shop: str, bike: str, lines: Sequence[str], total: str, ready: str, link: str
) -> str:
    """Says what is done within the limit that was agreed."""
    tail = _("{ready} Details: {link}").format(ready=_ready(ready), link=link)
    return _shortest_needed(
        _("{shop}: as agreed we also do {listed} on your {bike}, {total}.{tail}").format(
            shop=shop, listed=_listed(lines), bike=_short(bike), total=total, tail=tail
        ),
        _("{shop}: as agreed we do {things} on your {bike}, {total}.{tail}").format(
            shop=shop, things=_things(lines), bike=_short(bike), total=total, tail=tail
        ),
        _("{shop}: as agreed we do {things} on your bike, {total}.{tail}").format(
            shop=shop, things=_things(lines), total=total, tail=tail
        ),
    )


def pickup_text(*, shop: str, bike: str, hours: str = "", link: str) -> str:
    """Says that the bike can be collected and ridden."""
    opening = f" {hours}." if hours else ""
    return _shortest_needed(
        _("{shop}: your {bike} is ready to collect.{opening} Service sheet: {link}").format(
            shop=shop, bike=_short(bike), opening=opening, link=link
        ),
        _("{shop}: your bike is ready to collect.{opening} Service sheet: {link}").format(
            shop=shop, opening=opening, link=link
        ),
        _("{shop}: your bike is ready. Service sheet: {link}").format(shop=shop, link=link),
    )


def not_to_ride_text(*, shop: str, bike: str, link: str) -> str:
    """Says that the bike can be collected and must not be ridden."""
    return _shortest_needed(
        _(
            "{shop}: your {bike} can be collected but is not safe: please do not ride it. "
            "Why: {link}"
        ).format(shop=shop, bike=_short(bike), link=link),
        _("{shop}: your bike can be collected but is not safe: do not ride it. Why: {link}").format(
            shop=shop, link=link
        ),
    )


def receipt_text(
    *, shop: str, bike: str, yes: int, no: int, total: str, ready: str = "", link: str
) -> str:
    """Says what was understood of an answer."""
    tail = _("{ready} Your copy: {link}").format(ready=_ready(ready), link=link)
    return _shortest_needed(
        _("{shop}: thank you. {bike}: yes to {yes}, no to {no}, {total} in all.{tail}").format(
            shop=shop, bike=_short(bike), yes=yes, no=no, total=total, tail=tail
        ),
        _("{shop}: thank you. Yes to {yes}, no to {no}, {total} in all.{tail}").format(
            shop=shop, yes=yes, no=no, total=total, tail=tail
        ),
    )


def moved_text(*, shop: str, bike: str, ready: str, link: str = "") -> str:
    """Says before the promised time that it cannot be kept."""
    tail = f" {link}" if link else ""
    return _shortest_needed(
        _("{shop}: sorry, your {bike} takes longer than we said. Now ready {ready}.{tail}").format(
            shop=shop, bike=_short(bike), ready=ready, tail=tail
        ),
        _("{shop}: sorry, your bike takes longer. Now ready {ready}.{tail}").format(
            shop=shop, ready=ready, tail=tail
        ),
    )


def write_text(purpose: str, *, shop: str, bike: str, link: str, **facts: Any) -> str:
    """
    The text of a message by its purpose.

    facts  titles, total_minor, currency, ready_at (local, or None), hours, yes, no: as the
           purpose needs them

    Raises UnknownPurpose.
    """
    who = {"shop": shop, "bike": bike, "link": link}
    ready = when_words(facts["ready_at"]) if facts.get("ready_at") else ""
    if purpose in ("offer", "told"):
        words = offer_text if purpose == "offer" else told_text
        return words(**who, lines=facts["titles"], total=_total(facts), ready=ready)
    if purpose == "pickup":
        return pickup_text(**who, hours=facts.get("hours", ""))
    if purpose == "not-to-ride":
        return not_to_ride_text(**who)
    if purpose == "receipt":
        return receipt_text(
            **who, yes=facts["yes"], no=facts["no"], total=_total(facts), ready=ready
        )
    if purpose == "moved":
        return moved_text(**who, ready=ready)
    raise UnknownPurpose(
        _("There are no words for a message of the kind “{purpose}”.").format(purpose=purpose)
    )


def _total(facts: Mapping[str, Any]) -> str:
    return money_words(facts["total_minor"], facts["currency"])


def _shortest_needed(*candidates: str) -> str:
    """The fullest wording that still fits one segment; the shortest if none does."""
    plain = [plain_text(text) for text in candidates]
    return next((text for text in plain if sms_segments(text).segments == 1), plain[-1])


def _short(bike: str) -> str:
    """What the shop calls the bike, up to its first comma."""
    words = bike.partition(",")[0].strip() or "bike"
    # "your Grey bike" reads like a name; "your BMX" and "your E-bike" stay as they are.
    return words[0].lower() + words[1:] if words[1:2].islower() else words


def _ready(ready: str) -> str:
    return _(" Ready {ready}.").format(ready=ready) if ready else ""


def _listed(lines: Sequence[str]) -> str:
    return ", ".join(line[:1].lower() + line[1:] for line in lines)


def _things(lines: Sequence[str]) -> str:
    return _("1 more thing") if len(lines) == 1 else _("{n} more things").format(n=len(lines))
