"""Which photos stand on the sheet: before and after side by side, the others behind them."""

from collections.abc import Mapping, Sequence
from itertools import zip_longest
from typing import Any

from shopfloor.jobs.models import Job, Photo
from shopfloor.journal.state import JobState, Row
from shopfloor.words import gettext as _
from shopfloor.words import gettext_noop

PHASE_WORDS = {
    "before": gettext_noop("Before"),
    "after": gettext_noop("After"),
    "detail": gettext_noop("Detail"),
}
Shown = dict[str, Any]


def sheet_photos(
    job: Job, state: JobState, route: Sequence[Mapping[str, Any]], late: frozenset[str]
) -> dict[str, Any]:
    """
    `pairs` of one before and one after, in the order they were taken, and the `photos` that are
    left over; one that is still on a phone is not shown.
    """
    shown = _arrived(job, state, route, late)
    before = [photo for photo in shown if photo["phase"] == "before"]
    after = [photo for photo in shown if photo["phase"] == "after"]
    pairs = [{"before": a, "after": b} for a, b in zip(before, after, strict=False)]
    alone = [
        photo for pair in zip_longest(before, after) if None in pair for photo in pair if photo
    ]
    return {"pairs": pairs, "photos": alone + [p for p in shown if p["phase"] == "detail"]}


def _arrived(
    job: Job, state: JobState, route: Sequence[Mapping[str, Any]], late: frozenset[str]
) -> list[Shown]:
    titles = {step["key"]: step["title"] for step in route}
    # One picture may answer two asks; it is shown once.
    once = {photo["body"].get("sha256", ""): photo for photo in reversed(state["photos"])}
    arrived = Photo.objects.filter(workshop=job.workshop, sha256__in=once)
    stored = {photo.sha256: photo for photo in arrived}
    here = sorted(
        (photo for name, photo in once.items() if name in stored), key=lambda photo: photo["id"]
    )
    return [_photo(photo, stored[photo["body"]["sha256"]], titles, late) for photo in here]


def _photo(photo: Row, stored: Photo, titles: Mapping[str, str], late: frozenset[str]) -> Shown:
    body = photo["body"]
    about = body.get("caption") or titles.get(body.get("step") or "", "")
    phase = _(PHASE_WORDS[body["phase"]])
    return {
        "name": stored.sha256,
        "width": stored.width,
        "height": stored.height,
        "phase": body["phase"],
        "caption": f"{phase}: {about}" if about else phase,
        "late": photo["id"] in late,
    }
