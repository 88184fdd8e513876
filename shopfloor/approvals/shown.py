"""An offer as the customer's page shows it, line by line."""

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from shopfloor.approvals import answering, services
from shopfloor.approvals.models import Offer, OfferLine
from shopfloor.words import gettext as _
from shopfloor.words import gettext_noop


def offer_context(
    token: str, found: Offer, decisions: dict[str, str], missing: list[str], *, at: datetime
) -> dict[str, Any]:
    """
    decisions  “yes” or “no” by the id of a line, as far as the customer has chosen
    missing    lines that should have a decision and have none
    """
    shop = found.job.workshop
    lines = [_line(token, line, decisions, missing) for line in found.lines.all()]
    return {
        "token": token,
        "shop": shop,
        "job": found.job.tag,
        "bike": found.job.bike.words,
        "offer": found,
        "reference": f"{found.job.tag}/{str(found.id)[:6].upper()}",
        "currency": shop.currency,
        "lines": lines,
        "errors": [line for line in lines if line["error"]],
        "total_minor": services.total_minor(found),
        "yes_lines": [line for line in lines if line["decision"] == "yes"],
        "no_lines": [line for line in lines if line["decision"] == "no"],
        "total_yes_minor": sum(x["gross_minor"] for x in lines if x["decision"] == "yes"),
        "ready_before": _local(_ready_before(found, at), shop.timezone),
        "ready_after": _local(_ready_after(found, at), shop.timezone),
        "holds_until": _local(found.holds_until, shop.timezone),
        "decided_at": _local(found.answered_at, shop.timezone),
    }


def _ready_before(found: Offer, at: datetime) -> datetime | None:
    """The time promised so far, unless it has passed while we waited for the answer."""
    is_over = found.state == "open" and found.ready_before and found.ready_before < at
    return None if is_over else found.ready_before


def _ready_after(found: Offer, at: datetime) -> datetime | None:
    """As offered; once answered, as promised: a late yes moves the day."""
    if found.state == "open":
        return answering.ready_if_agreed(found, at)
    has_yes = any(line.decision == "yes" for line in found.lines.all())
    return found.job.promised_at if has_yes else found.ready_after


def _local(moment: datetime | None, zone: str) -> datetime | None:
    """As the shop's clock shows it; naive, so that the template does not shift it again."""
    return moment.astimezone(ZoneInfo(zone)).replace(tzinfo=None) if moment else None


def _line(
    token: str, line: OfferLine, decisions: dict[str, str], missing: list[str]
) -> dict[str, Any]:
    key = str(line.id)
    return {
        "id": key,
        "title": line.title,
        "reason": line.reason,
        "photo_url": f"/a/{token}/photos/{line.photo}/" if line.photo else None,
        "minutes": line.minutes,
        "labour_minor": line.labour_minor,
        "parts": [
            {"name": part.get("name", ""), "minor": int(part.get("price_minor") or 0)}
            for part in line.parts
        ],
        "net_minor": line.net_minor,
        "vat_minor": line.vat_minor,
        "vat_rate_bp": line.vat_rate_bp,
        "gross_minor": line.gross_minor,
        "safety": line.safety,
        "without": _(WITHOUT_SAFETY if line.safety else WITHOUT),
        "decision": line.decision or decisions.get(key, ""),
        "error": _("Say yes or no to this line.") if key in missing else "",
    }


WITHOUT_SAFETY = gettext_noop(
    "This matters for safety. Without it we cannot hand the bike back as safe to ride, and we "
    "will write that on the service sheet."
)
WITHOUT = gettext_noop(
    "Without it the rest of the work goes on, and the service sheet will note it."
)
