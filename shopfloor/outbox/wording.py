"""
What a text to a customer says.

Plain words, no selling. Knows no database, no clock and no provider.
"""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any, Final

from shopfloor.outbox.segments import plain_text, sms_segments
from shopfloor.words import gettext as _
from shopfloor.words import short_day
from shopfloor.workshop.currency import split_minor

_SIGNS: Final = {"GBP": "£", "EUR": "€", "USD": "$"}


class UnknownPurpose(ValueError):
    """There are no words for such a message."""


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
