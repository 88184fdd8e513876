"""
Which work is often found to be needed, and which steps it puts into a route.

A step of added work that mends a measured fault asks for it again and says which reading it
clears; what it undoes on other steps it names, with the reason.
"""

from collections.abc import Collection, Mapping, Sequence
from math import ceil
from typing import Any, NamedTuple

from shopfloor.trade.asks import fill_ask, torque_asks
from shopfloor.trade.route import Step, bring, compose, compound
from shopfloor.trade.tables import Row, get_row, table
from shopfloor.trade.traits import Traits, fill_defaults, matches

Task = dict[str, Any]

DEFAULT_STAGE = "assemble"
# Work of which nothing more is known is done before the torque run and the final check.
BEFORE_THE_END = ("final_torque", "final_check")

# Safety work in own words undoes no more than is known of it: the last looks at the whole bike.
LOOKED_OVER = ("final_check", "road_test", "recheck")
AFTER_IT = "the bike was looked over before this work"


class UnknownTask(ValueError):
    """There is no such added work for this bike."""


def all_tasks() -> list[Task]:
    """The added work for any bike."""
    return [_task(row) for row in table("added_work")]


def tasks(traits: Mapping[str, Any]) -> list[Task]:
    """The added work a mechanic may pick for this bike."""
    full = fill_defaults(traits)
    return [_task(row) for row in table("added_work") if matches(row.get("when"), full)]


def _task(row: Row) -> Task:
    keys = ("key", "title", "minutes", "safety", "step", "item")
    return {key: row[key] for key in keys} | {"parts": [dict(part) for part in row["parts"]]}


def steps_for(
    task_key: str | None,
    *,
    finding_id: str,
    title: str,
    minutes: int,
    safety: bool,
    traits: Mapping[str, Any],
    route: Collection[str] = (),
    step: str | None = None,
) -> list[Step]:
    """
    The steps that one agreed finding adds to the route.

    task_key    key of the added work, or None for work in the mechanic's own words
    title       what own words are called; planned work has its own titles
    finding_id  its last twelve hex digits make the step keys unique
    minutes     what was agreed for all of it together
    route       keys of the steps the job has by now
    step        for own words: the step the fault was found in; the new one follows it

    What the work undoes is named in `reopens`. Where a lighter service has no such step, it comes
    in with the work, in its place of the full order; of a step that the work undoes in part, only
    that part. Raises UnknownTask, UnknownTrait.
    """
    lead = finding_id.replace("-", "")[-12:]
    if task_key is None:
        return [_own_words(lead, title=title, minutes=minutes, safety=safety, step=step)]
    full = fill_defaults(traits)
    row = next((row for row in table("added_work") if row["key"] == task_key), None)
    if row is None or not matches(row.get("when"), full):
        raise UnknownTask(f"There is no added work “{task_key}” for this bike.")
    undone = _undone(row, full)
    came = _coming(undone, full, route, lead) if route else []
    agreed = _Agreed(
        lead=lead,
        minutes=max(minutes - sum(one["minutes"]["typical"] for one in came), ceil(minutes / 2)),
        safety=safety,
        undone=undone,
        copied=frozenset(one["key"] for one in came if one["key"].startswith(f"{lead}-")),
    )
    return [*(_planned(template, row, full, agreed) for template in row["steps"]), *came]


class _Agreed(NamedTuple):
    """
    What one agreed finding gives to each of its own steps.

    minutes  for its own steps together; at least half of what was agreed
    copied   keys of the steps that came in as a copy of a part
    """

    lead: str
    minutes: int
    safety: bool
    undone: Sequence[Mapping[str, Any]]
    copied: frozenset[str]


def _undone(row: Row, traits: Traits) -> list[dict[str, Any]]:
    """What the work undoes on this bike: steps it has, and of these the items they ask for."""
    asked = {one["key"]: {ask["item"] for ask in one["asks"]} for one in compose(traits, "full")}
    found = []
    for one in (one for template in row["steps"] for one in _reopened(template)):
        if one["key"] not in asked:
            continue
        if "items" not in one or asked[one["key"]] & set(one["items"]):
            found.append(one)
    return found


def _reopened(template: Mapping[str, Any]) -> list[dict[str, Any]]:
    return [
        {"key": key, "because": because} | ({"items": items[0]} if items else {})
        for key, because, *items in template.get("reopens", ())
    ]


def _coming(
    undone: Sequence[Mapping[str, Any]], traits: Traits, route: Collection[str], lead: str
) -> list[Step]:
    """The undone steps that the route has not; of one undone in part a copy with that part."""
    missing = {one["key"] for one in undone} - set(route)
    whole = {one["key"] for one in undone if "items" not in one}
    return [
        came if came["key"] in whole else _part_of(came, undone, lead)
        for came in bring(traits, missing, route)
    ]


def _part_of(came: Step, undone: Sequence[Mapping[str, Any]], lead: str) -> Step:
    items = {item for one in undone if one["key"] == came["key"] for item in one["items"]}
    asks = [ask for ask in came["asks"] if ask["item"] in items]
    return came | {"key": f"{lead}-{came['key']}", "asks": asks, "minutes": _spread(len(asks))}


def _planned(template: Mapping[str, Any], row: Row, traits: Traits, agreed: _Agreed) -> Step:
    lead = agreed.lead
    undone = [one for one in _reopened(template) if one in agreed.undone]
    later = [_key_after(one["key"], agreed) for one in undone]
    return {
        "key": f"{lead}-{template['suffix']}",
        "stage": template["stage"],
        "title": template["title"],
        "how": template["how"],
        "why": template["why"],
        "kind": "work",
        "after": [
            {"key": _own_key(key, lead), "because": because} for key, because in template["after"]
        ],
        "before": list(dict.fromkeys([*template["before"], *later])),
        "reopens": [one for one in undone if _key_after(one["key"], agreed) == one["key"]],
        "minutes": _spread(agreed.minutes * template["share"]),
        "compound": compound(template.get("compound")),
        "bath": template.get("bath"),
        "safety": agreed.safety or bool(template.get("safety", row["safety"])),
        "cautions": list(template.get("cautions", ())),
        "points": list(template.get("points", ())),
        "checks": [],
        "source": row["source"],
        "source_kind": row["source_kind"],
        "asks": _asks(template.get("asks", ()), traits),
    }


def _key_after(key: str, agreed: _Agreed) -> str:
    """The key under which an undone step stands on this route; a copy has nothing to undo."""
    copy = f"{agreed.lead}-{key}"
    return copy if copy in agreed.copied else key


def _own_key(key: str, lead: str) -> str:
    """A name that begins with @ means another step of the same finding."""
    return f"{lead}-{key[1:]}" if key.startswith("@") else key


def _asks(templates: Sequence[Mapping[str, Any]], traits: Traits) -> list[dict[str, Any]]:
    """The asks of the bike; a torque is named by the step that else sets it, and its item."""
    asks: list[dict[str, Any]] = []
    for template in templates:
        if "torque" in template:
            step, item = template["torque"]
            asks += [ask for ask in torque_asks(traits, step=step) if ask["item"] == item]
        elif matches(template.get("when"), traits):
            asks.append(fill_ask(template, traits))
    return asks


def _spread(typical: float) -> dict[str, int]:
    """A quarter less when it goes well, half as much again when it does not."""
    middle = max(1, round(typical))
    return {"low": max(1, round(middle * 0.75)), "typical": middle, "high": round(middle * 1.5)}


def _own_words(lead: str, *, title: str, minutes: int, safety: bool, step: str | None) -> Step:
    stage, follows = _place_of(step)
    return {
        "key": f"{lead}-work",
        "stage": stage,
        "title": title,
        "how": "As written in the finding.",
        "why": "Agreed with the customer.",
        "kind": "work",
        "after": [{"key": follows, "because": "it was found there"}] if follows else [],
        "before": list(BEFORE_THE_END),
        "reopens": [{"key": key, "because": AFTER_IT} for key in LOOKED_OVER] if safety else [],
        "minutes": _spread(minutes),
        "compound": None,
        "bath": None,
        "safety": safety,
        "cautions": [],
        "points": [],
        "checks": [],
        "source": "the mechanic's own finding",
        "source_kind": "common_practice",
        "asks": [],
    }


def _place_of(step: str | None) -> tuple[str, str | None]:
    """
    The stage for work in own words, and the step it follows.

    Nothing is mended before it is stripped. What was found in the final stage is mended before
    the torque run, which then comes again: such work cannot wait for the step it was found in.
    """
    try:
        stage = str(get_row("steps", step)["stage"]) if step else None
    except KeyError:
        stage = None
    if stage in ("final", "handover"):
        return "final", None
    if stage in (None, "intake", "measure", "strip", "clean", "inspect"):
        return DEFAULT_STAGE, step
    return str(stage), step
