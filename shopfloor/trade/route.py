"""
Which steps a service of this bike has, in which order, and what each of them asks for.

Composed once and then frozen on the job; work that is added later is merged in here too.
See also frontend/src/trade/route.ts: merging is held to fixtures/cases/route.json in both.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import Any, Final

from shopfloor.trade import graph
from shopfloor.trade.asks import fill_asks
from shopfloor.trade.graph import Edge, Path
from shopfloor.trade.tables import Row, get_row, table
from shopfloor.trade.traits import Traits, fill_defaults, matches
from shopfloor.words import gettext_noop

Step = dict[str, Any]

STAGES: Final = (
    "intake",
    "measure",
    "strip",
    "clean",
    "inspect",
    "bearings",
    "wheels",
    "assemble",
    "drive",
    "brakes",
    "shift",
    "final",
    "handover",
)
SERVICES: Final[Mapping[str, str]] = {
    "safety": gettext_noop("Safety check"),
    "standard": gettext_noop("Standard service"),
    "full": gettext_noop("Full strip-down"),
}
_TIERS: Final = tuple(SERVICES)
_PLAIN: Final = ("key", "stage", "title", "how", "why", "safety", "source", "source_kind")
_LISTS: Final = ("points", "cautions")


class UnknownService(ValueError):
    """The service is not one the workshop offers."""


def compose(traits: Mapping[str, Any], service: str) -> list[Step]:
    """
    The steps of one service of one bike, in working order, each with its asks.

    traits   any may be missing but the kind; see traits.fill_defaults
    service  safety, standard or full

    Steps the bike does not have drop out with their pairs; steps a lighter service leaves out
    hand their order on. Raises UnknownService, UnknownTrait.
    """
    if service not in SERVICES:
        raise UnknownService(f"“{service}” is no service here; use one of {', '.join(SERVICES)}.")
    full = fill_defaults(traits)
    on_bike = _on_bike(full)
    return _in_order(_steps(on_bike, full, {r["key"] for r in on_bike if _included(r, service)}))


def bring(traits: Mapping[str, Any], keys: Collection[str], route: Collection[str]) -> list[Step]:
    """
    Steps that a lighter service left out, for a route that needs them after all.

    keys   of the steps that are to come in; those this bike has not are left out
    route  keys of all steps of the route

    Each has its reasons among all of these, and in `before` what has to come after it.
    """
    full = fill_defaults(traits)
    on_bike = _on_bike(full)
    kept = {row["key"] for row in on_bike} & {*keys, *route}
    steps = _steps(on_bike, full, kept)
    followers: dict[str, list[str]] = {key: [] for key in keys}
    for before, after in edges_of(steps):
        followers.get(before, []).append(after)
    return [
        step | {"before": followers[step["key"]]}
        for step in _in_order(steps)
        if step["key"] in followers
    ]


def _on_bike(full: Traits) -> list[Row]:
    return [row for row in table("steps") if matches(row.get("when"), full)]


def _included(row: Row, service: str) -> bool:
    return _TIERS.index(row["tier"]) <= _TIERS.index(service)


def _steps(on_bike: Sequence[Row], full: Traits, kept: set[str]) -> list[Step]:
    """The steps that are kept, each with its reasons, as the table has them."""
    steps = {row["key"]: _fill_step(row, full, kept) for row in on_bike if row["key"] in kept}
    for (before, after), because in _reasons(on_bike, kept).items():
        steps[after]["after"].append({"key": before, "because": because})
    return list(steps.values())


def _reasons(on_bike: Sequence[Row], kept: set[str]) -> dict[Edge, str]:
    """
    Every pair of kept steps with its reason, through the steps that are left out.

    A pair that only came about by leaving steps out is dropped where others imply it: its reason
    would speak of work nobody does.
    """
    rows = {row["key"]: row for row in on_bike}
    direct: dict[Edge, str] = {}
    handed_on: dict[Edge, str] = {}
    for key in (row["key"] for row in on_bike if row["key"] in kept):
        waiting = [(before, because, direct) for before, because in rows[key]["after"]]
        seen: set[str] = set()
        while waiting:
            before, because, found = waiting.pop(0)
            if before not in rows or before in seen:
                continue
            seen.add(before)
            if before in kept:
                found[before, key] = because
            else:
                waiting.extend((name, why, handed_on) for name, why in rows[before]["after"])
    implied = graph.implied([*direct, *handed_on])
    return direct | {pair: why for pair, why in handed_on.items() if pair not in implied}


def _fill_step(row: Row, traits: Traits, kept: set[str]) -> Step:
    told = dict(row)
    for variant in row.get("variants", ()):
        if matches(variant["when"], traits):
            told |= {key: value for key, value in variant.items() if key != "when"}
    step: Step = {key: told[key] for key in _PLAIN}
    for name in _LISTS:
        step[name] = _texts([*told.get(name, ()), *_lost(row, told, name)], traits)
    low, typical, high = told["minutes"]
    return step | {
        "kind": told.get("kind", "work"),
        "after": [],
        "minutes": {"low": low, "typical": typical, "high": high},
        "compound": compound(told.get("compound")),
        "bath": told.get("bath"),
        "checks": [key for key in told.get("checks", ()) if key in kept],
        "asks": fill_asks(told.get("asks", ()), traits, step=told["key"]),
    }


def _lost(row: Row, told: Mapping[str, Any], name: str) -> Sequence[Any]:
    """A variant adds cautions and never takes one away."""
    if name != "cautions" or told.get(name) is row.get(name):
        return ()
    return [text for text in row.get(name, ()) if text not in told[name]]


def _texts(entries: Iterable[Any], traits: Traits) -> list[str]:
    return [
        entry if isinstance(entry, str) else entry["text"]
        for entry in entries
        if isinstance(entry, str) or matches(entry["when"], traits)
    ]


def compound(key: str | None) -> dict[str, str] | None:
    """What goes on the part, and where it must never go."""
    if key is None:
        return None
    row = get_row("compounds", key)
    return {"key": key, "title": row["title"], "never": row["never"]}


def merge(route: Sequence[Mapping[str, Any]], added: Iterable[Mapping[str, Any]]) -> list[Step]:
    """
    The route with steps of later work put in where they belong, in working order.

    route  steps as composed
    added  steps, each with after and before; in whatever order they were agreed

    The order in which the work was added makes no difference. Names that are not on the route
    are ignored, and where steps wait for each other the order of the stages decides: this runs
    on every phone and must never refuse a job.
    """
    own = {step["key"]: dict(step) for step in route}
    extra: dict[str, Step] = {}
    for step in sorted(added, key=_identity):
        if step["key"] not in own:
            extra.setdefault(step["key"], dict(step))
    return _in_order([*own.values(), *extra.values()], known=len(own))


def _identity(step: Mapping[str, Any]) -> tuple[str, str, str]:
    return str(step["key"]), str(step.get("stage", "")), str(step.get("title", ""))


def _in_order(steps: Sequence[Step], *, known: int | None = None) -> list[Step]:
    """By stage, then as composed, then what was added; pairs come before all of these."""
    place = known if known is not None else len(steps)
    ranks = {
        step["key"]: (_stage(step), min(index, place), step["key"])
        for index, step in enumerate(steps)
    }
    by_key = {step["key"]: step for step in steps}
    return [by_key[key] for key in graph.stable_order(ranks, edges_of(steps))]


def _stage(step: Mapping[str, Any]) -> int:
    stage = step.get("stage")
    return STAGES.index(stage) if stage in STAGES else len(STAGES) - 2


def edges_of(steps: Iterable[Mapping[str, Any]]) -> list[Edge]:
    """All pairs (before, after) that the steps name, known or not."""
    pairs: list[Edge] = []
    for step in steps:
        pairs.extend((reason["key"], step["key"]) for reason in step.get("after", ()))
        pairs.extend((step["key"], later) for later in step.get("before", ()))
    return pairs


def order_violations(order: Sequence[str], edges: Sequence[Edge]) -> list[Edge]:
    """
    The pairs that an order breaks, as (what should come first, what was put before it).

    Steps that are not in the order hand their order on.
    """
    place = {key: index for index, key in enumerate(order)}
    pairs = list(edges)
    for name in dict.fromkeys(name for pair in edges for name in pair):
        if name not in place:
            pairs = graph.without(pairs, name)
    return [(a, b) for a, b in pairs if place[a] > place[b]]


def catalogue_edges(traits: Mapping[str, Any]) -> list[Edge]:
    """Every pair of the full strip-down of this bike."""
    return edges_of(compose(traits, "full"))


def without_step(route: Sequence[Mapping[str, Any]], key: str) -> list[Step]:
    """The route without one step; what it stood between keeps its order."""
    gone = next((step for step in route if step["key"] == key), None)
    if gone is None:
        return [dict(step) for step in route]
    handed_on = [dict(reason) for reason in gone.get("after", ())]
    kept = []
    for step in route:
        if step["key"] == key:
            continue
        own = [reason for reason in step.get("after", ()) if reason["key"] != key]
        if len(own) < len(step.get("after", ())):
            named = {reason["key"] for reason in own}
            own += [reason for reason in handed_on if reason["key"] not in named]
        kept.append({**step, "after": own})
    return kept


def critical_path(route: Sequence[Mapping[str, Any]]) -> Path:
    """The longest chain of steps that wait for each other, by typical minutes."""
    minutes_by_key = {step["key"]: step["minutes"]["typical"] for step in route}
    pairs = [pair for pair in edges_of(route) if pair[0] in minutes_by_key]
    return graph.longest_path(minutes_by_key, [pair for pair in pairs if pair[1] in minutes_by_key])


def minutes(route: Iterable[Mapping[str, Any]]) -> dict[str, int]:
    """Low, typical and high minutes of all steps together."""
    total = {"low": 0, "typical": 0, "high": 0}
    for step in route:
        for name in total:
            total[name] += step["minutes"][name]
    return total
