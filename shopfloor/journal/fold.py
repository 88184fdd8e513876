"""
What state is a job in, given the set of its entries?

The same set gives the same state whatever the order, however often an entry is repeated.
See also frontend/src/journal/fold.ts: both are held together by fixtures/cases/journal/fold.json.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from shopfloor.journal.bodies import agree, uuid_in
from shopfloor.journal.entry import BENCH_KINDS, Entry
from shopfloor.journal.instants import instant_ms
from shopfloor.journal.live import live_heads
from shopfloor.journal.offers import current_asked, list_asking, list_parts, read_answers
from shopfloor.journal.places import place_of
from shopfloor.journal.state import Added, Head, JobState, OpenHands, PlaceName, Row


def fold(entries: Iterable[Entry]) -> JobState:
    """The state of one job; entries that cannot be read take no part in it."""
    heads = live_heads(entries)
    places = _by_place(heads)
    asked = current_asked(heads)
    answers, disputed = read_answers(heads)
    findings, added = _rows(heads, "finding"), _added(heads)
    state: JobState = {
        "place": "booked",
        "opened": _body(places.get("opened", [])),
        "places": places,
        "conflicts": sorted({*_conflicts(places, asked), *disputed}),
        "notes": _rows(heads, "note"),
        "photos": _rows(heads, "photo"),
        "findings": findings,
        "added": added,
        "answers": answers,
        "asking": list_asking(heads, asked),
        "parts": list_parts(findings, answers=answers, asked=asked, added=added, arrived=places),
        "hands": _open_hands(heads, places),
        "ready_at": _ready_at(places.get("promise", [])),
        "released": _released(places.get("released", [])),
        "collected": "collected" in places,
        "cancelled": "cancelled" in places,
    }
    state["place"] = _place_name(state, touched=any(map(_is_bench_work, heads)))
    return state


def _by_place(heads: Iterable[Head]) -> dict[str, list[Head]]:
    places: dict[str, list[Head]] = {}
    for head in heads:
        place = place_of(head["kind"], head["body"])
        if place is not None:
            places.setdefault(place, []).append(head)
    return places


def _conflicts(places: Mapping[str, Sequence[Head]], asked: Iterable[Head]) -> list[str]:
    """Places whose entries differ; of an offer only the newest version is compared."""
    newest = _by_place(asked)
    return [place for place, heads in places.items() if _differ(newest.get(place, heads))]


def _differ(heads: Sequence[Head]) -> bool:
    return any(not agree(heads[0]["body"], head["body"]) for head in heads[1:])


def _rows(heads: Iterable[Head], kind: str) -> list[Row]:
    return [
        {"id": head["id"], "by": head["by"], "at": head["at"], "body": head["body"]}
        for head in heads
        if head["kind"] == kind
    ]


def _added(heads: Iterable[Head]) -> list[Added]:
    return [
        {
            "id": head["id"],
            "finding": uuid_in(head["body"], "finding"),
            "title": head["body"]["title"],
            "steps": head["body"]["steps"],
        }
        for head in heads
        if head["kind"] == "route-added"
    ]


def _open_hands(heads: Iterable[Head], places: Mapping[str, object]) -> list[OpenHands]:
    return [
        {"id": head["id"], "by": head["by"], "at": head["at"]}
        for head in heads
        if head["kind"] == "hands-on" and f"hands:{head['id']}" not in places
    ]


def _body(heads: Sequence[Head]) -> dict[str, Any] | None:
    return heads[0]["body"] if heads else None


def _ready_at(heads: Sequence[Head]) -> str | None:
    """Of two promises the earlier one: the customer may have been told either."""
    said: list[str] = [head["body"]["ready_at"] for head in heads]
    return min(said, key=lambda text: (instant_ms(text) or 0, text), default=None)


def _released(heads: Sequence[Head]) -> dict[str, Any] | None:
    """Of two releases the one that says not to ride."""
    warned = [head for head in heads if head["body"]["mode"] == "not-to-ride"]
    return _body(warned or heads)


def _is_bench_work(head: Head) -> bool:
    """Taking an entry back is no work on the bike: the job may have been the wrong one."""
    return head["kind"] in BENCH_KINDS and head["kind"] != "void"


def _place_name(state: JobState, *, touched: bool) -> PlaceName:
    ladder: tuple[tuple[PlaceName, bool], ...] = (
        ("cancelled", state["cancelled"]),
        ("collected", state["collected"]),
        ("ready", state["released"] is not None),
        ("asking", bool(state["asking"])),
        ("parts", bool(state["parts"])),
        ("on the stand", touched),
    )
    return next((place for place, holds in ladder if holds), "booked")
