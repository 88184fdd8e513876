"""The sources that several calculators share, in one wording, and how each kind is called."""

from collections.abc import Iterable
from typing import Final

from shopfloor.trade.tables import Row
from shopfloor.words import gettext_noop as _

GEOMETRY: Final = (_("geometry"), "library")
DEFINITION: Final = (_("definition"), "library")
PRACTICE: Final = (_("common practice, no citable source"), "common_practice")

KINDS: Final = {
    "standard": _("standard"),
    "handbook": _("handbook"),
    "dataset": _("public dataset"),
    "library": _("derived, checked against a library"),
    "common_practice": _("common practice"),
    "memory": _("from memory, nobody looked it up"),
}

MARK_FIRST: Final = _("The mark on the part and its maker's instructions come first.")


def row_sources(rows: Iterable[Row]) -> list[tuple[str, str]]:
    """(source, source kind) of the table rows that an answer rests on."""
    return [(row["source"], row["source_kind"]) for row in rows]
