"""
Which work is often found to be needed, and which steps it puts into a route.

A step of added work that mends a measured fault asks for it again and says which reading it
clears.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from shopfloor.trade.asks import fill_ask
from shopfloor.trade.route import Step, compound
from shopfloor.trade.tables import Row, get_row, table
from shopfloor.trade.traits import Traits, fill_defaults, matches

Task = dict[str, Any]

DEFAULT_STAGE = "assemble"
# Work of which nothing more is known is done before the torque run and the final check.
BEFORE_THE_END = ("final_torque", "final_check")


class UnknownTask(ValueError):
    """There is no such added work for this bike."""


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
    step: str | None = None,
) -> list[Step]:
    """
    The steps that one agreed finding adds to the route.

    task_key    key of the added work, or None for work in the mechanic's own words
    title       what own words are called; planned work has its own titles
    finding_id  its last twelve hex digits make the step keys unique
    minutes     what was agreed for all of it together
    step        for own words: the step the fault was found in; the new one follows it

    Raises UnknownTask, UnknownTrait.
    """
    lead = finding_id.replace("-", "")[-12:]
    if task_key is None:
        return [_own_words(lead, title=title, minutes=minutes, safety=safety, step=step)]
    full = fill_defaults(traits)
    row = next((row for row in table("added_work") if row["key"] == task_key), None)
    if row is None or not matches(row.get("when"), full):
        raise UnknownTask(f"There is no added work “{task_key}” for this bike.")
    return [
        _planned(template, row, full, lead=lead, minutes=minutes, safety=safety)
        for template in row["steps"]
    ]


def _planned(
    template: Mapping[str, Any], row: Row, traits: Traits, *, lead: str, minutes: int, safety: bool
) -> Step:
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
        "before": list(template["before"]),
        "minutes": _spread(minutes * template["share"]),
        "compound": compound(template.get("compound")),
        "bath": None,
        "safety": safety or bool(template.get("safety", row["safety"])),
        "cautions": list(template.get("cautions", ())),
        "points": list(template.get("points", ())),
        "checks": [],
        "source": row["source"],
        "source_kind": row["source_kind"],
        "asks": _asks(template.get("asks", ()), traits),
    }


def _own_key(key: str, lead: str) -> str:
    """A name that begins with @ means another step of the same finding."""
    return f"{lead}-{key[1:]}" if key.startswith("@") else key


def _asks(templates: Sequence[Mapping[str, Any]], traits: Traits) -> list[dict[str, Any]]:
    return [fill_ask(ask, traits) for ask in templates if matches(ask.get("when"), traits)]


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
