"""{{ 95|hours }}: spans of time as people say them, 1 h 35 min."""

from datetime import datetime

from django import template

from shopfloor.planning.ready import duration_words
from shopfloor.words import gettext as _

register = template.Library()


@register.filter
def hours(minutes: float | None) -> str:
    """Working minutes in hours and minutes: 95 → 1 h 35 min, 40 → 40 min."""
    if minutes is None:
        return ""
    return duration_words(minutes)


@register.filter
def since(at: datetime, then: datetime | None) -> str:
    """How long before `at` something was, in one unit: 3 days, 2 h, 5 min, a moment."""
    if then is None:
        return ""
    minutes = max(0, int((at - then).total_seconds() // 60))
    if minutes < 1:
        return _("a moment")
    if minutes < 60:
        return _("{minutes} min").format(minutes=minutes)
    if minutes < 48 * 60:
        return f"{minutes // 60} h"
    return _("{value} days").format(value=minutes // (24 * 60))
