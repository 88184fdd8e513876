"""What came from the bench, as the page of its job shows it: findings, notes, photos, hands."""

from collections.abc import Mapping
from typing import Any

from django.utils.dateparse import parse_datetime

from shopfloor.desk.folded import Folded
from shopfloor.desk.measured import measured
from shopfloor.jobs.models import Photo
from shopfloor.jobs.words import said
from shopfloor.journal.instants import instant_ms
from shopfloor.words import gettext as _

Row = dict[str, Any]
PHOTO_BEFORE_MS = 30 * 60_000


def open_findings(folded: Folded) -> list[Row]:
    """Findings from the bench that nobody has offered or answered yet, with photo and reading."""
    state = folded.state
    taken = set(state["asking"]) | set(state["answers"])
    return [
        {
            "finding": row,
            "by": folded.names.person(row["by"]),
            "at": parse_datetime(row["at"]),
            "step": folded.names.step(row["body"]["step"]) if row["body"].get("step") else "",
            "reading": _reading_of(folded, row["body"]),
            "photos": _photos_of(folded, row),
        }
        for row in state["findings"]
        if row["id"] not in taken
    ]


def _reading_of(folded: Folded, body: Mapping[str, Any]) -> Row | None:
    """The measured row a finding points at."""
    rows = measured(folded, only=(str(body.get("step")), str(body.get("item"))))
    return next(iter(rows), None) if body.get("item") else None


def _photos_of(folded: Folded, finding: Mapping[str, Any]) -> list[Row]:
    """Photos of the same step, those of the same item first; without a step, those taken for it."""
    body = finding["body"]
    if not body.get("step"):
        return _taken_for(folded, finding)
    own = [
        photo["body"]
        for photo in folded.state["photos"]
        if photo["body"].get("step") == body["step"] and "sha256" in photo["body"]
    ]
    same = [photo for photo in own if body.get("item") and photo.get("item") == body["item"]]
    return same or own


def _taken_for(folded: Folded, finding: Mapping[str, Any]) -> list[Row]:
    """
    Details of no step that the finder took shortly before, the last first.

    The phone's form takes the photo before the finding has an id, so that time and hand tell.
    """
    until = instant_ms(finding["at"]) or 0
    earlier = [
        instant_ms(one["at"]) or 0
        for one in folded.state["findings"]
        if one["by"] == finding["by"] and one["id"] < finding["id"]
    ]
    since = max([until - PHOTO_BEFORE_MS, *earlier])
    return [
        photo["body"]
        for photo in reversed(folded.state["photos"])
        if photo["by"] == finding["by"]
        and photo["body"].get("phase") == "detail"
        and not photo["body"].get("step")
        and "sha256" in photo["body"]
        and since < (instant_ms(photo["at"]) or 0) <= until
    ]


def notes(folded: Folded) -> list[Row]:
    """What was written at the stand."""
    return [
        {
            "text": row["body"].get("text") or _("Blanked on request."),
            "step": folded.names.step(row["body"]["step"]) if row["body"].get("step") else "",
            "by": folded.names.person(row["by"]),
            "at": parse_datetime(row["at"]),
        }
        for row in folded.state["notes"]
    ]


def photos(folded: Folded) -> list[Row]:
    """Every photo; one that is still on its phone is told, not shown."""
    bodies = [(row, row["body"]) for row in folded.state["photos"] if "sha256" in row["body"]]
    names = {body["sha256"] for _id, body in bodies}
    stored = Photo.objects.filter(workshop=folded.job.workshop, sha256__in=names)
    here = set(stored.values_list("sha256", flat=True))
    return [
        {
            "sha256": body["sha256"],
            "is_here": body["sha256"] in here,
            "phase": "" if body["phase"] == "detail" else said(body["phase"]),
            "step": folded.names.step(body["step"]) if body.get("step") else "",
            "caption": body.get("caption") or "",
            "by": folded.names.person(row["by"]),
            "at": parse_datetime(row["at"]),
        }
        for row, body in bodies
    ]


def at_work(folded: Folded) -> list[Row]:
    """Who has hands on the bike, and since when."""
    return [
        {"by": folded.names.person(hand["by"]), "since": parse_datetime(hand["at"])}
        for hand in folded.state["hands"]
    ]
