"""
{% glyph "sound" %}: the small signs of the house, from the one file the bench reads too.

The sign is decoration for the word beside it, so it is hidden from screen readers.
"""

import json
from functools import cache
from pathlib import Path

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString

from shopfloor.words import gettext as _
from shopfloor.words import gettext_noop

register = template.Library()
SOURCE = Path(__file__).resolve().parents[3] / "frontend" / "icons" / "glyphs.json"


class UnknownGlyph(template.TemplateSyntaxError):
    """A template asks for a sign that is not in glyphs.json."""


@cache
def glyphs() -> dict[str, dict[str, str]]:
    """Every sign by name: its viewBox and path."""
    found: dict[str, dict[str, str]] = json.loads(SOURCE.read_text(encoding="utf-8"))["glyphs"]
    return found


@register.simple_tag
def glyph(name: str) -> SafeString:
    """The sign as inline SVG; a verdict or place may be given as it is said ("measure again")."""
    found = glyphs().get(name.replace(" ", "-"))
    if found is None:
        raise UnknownGlyph(f"There is no glyph {name!r} in {SOURCE.name}.")
    return format_html(
        '<svg class="glyph" viewBox="{}" aria-hidden="true" focusable="false"><path d="{}"/></svg>',
        found["viewBox"],
        found["path"],
    )


@register.simple_tag
def chip(word: str, label: str = "") -> SafeString:
    """A verdict or place as a chip: its shape and its word."""
    slug = word.replace(" ", "-")
    return format_html('<span class="chip {}">{} {}</span>', slug, glyph(slug), label or _(word))


# The words that chips are made of: places of a job, then verdicts.
CHIP_WORDS = (
    gettext_noop("booked"),
    gettext_noop("on the stand"),
    gettext_noop("asking"),
    gettext_noop("parts"),
    gettext_noop("ready"),
    gettext_noop("collected"),
    gettext_noop("cancelled"),
    gettext_noop("sound"),
    gettext_noop("watch"),
    gettext_noop("renew"),
    gettext_noop("unsafe"),
    gettext_noop("measure again"),
)
