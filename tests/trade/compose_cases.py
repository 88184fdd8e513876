"""
Writes the cases of composing, which both languages must give the same steps for: `make cases`.

The catalogue as a phone gets it, a grid of bikes with the hash of each route, a few whole routes,
and the order of routes that agreed work has joined.
"""

import hashlib
import itertools
import json
import random
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any
from uuid import UUID

from shopfloor.journal.values import canonical_json
from shopfloor.trade.added_work import steps_for, tasks
from shopfloor.trade.catalogue import catalogue
from shopfloor.trade.fields import FIELDS, KINDS
from shopfloor.trade.route import SERVICES, compose, merge
from shopfloor.trade.traits import usual_traits

CASES = Path(__file__).parents[2] / "fixtures" / "cases"
CATALOGUE, ROUTES = CASES / "catalogue.json", CASES / "compose.json"
AGREED = CASES / "added_work.json"

Bike = dict[str, Any]

# Of the sprockets only those stand in pairs on which a limit changes.
_IN_PAIRS = {"sprockets": (1, 4, 9, 11, 12)}
_WHOLE: Sequence[tuple[Bike, str]] = (
    ({"kind": "city", "brakes": "coaster", "gears": "single"}, "safety"),
    ({"kind": "ebike", "carbon": True, "rotor": "lockring"}, "safety"),
)
_REFUSED: Sequence[tuple[Bike, str]] = (
    ({}, "kind"),
    ({"kind": None}, "kind"),
    ({"kind": "tandem"}, "kind"),
    ({"kind": "road", "brakes": "parachute"}, "brakes"),
    ({"kind": "road", "carbon": "yes"}, "carbon"),
    ({"kind": "road", "sprockets": "11"}, "sprockets"),
    ({"kind": "mtb", "sprockets": 15, "rotor": "glued"}, "sprockets"),
)

# The bikes that work is agreed on: of each service two tasks in turn, until every task has joined.
_AGREED_ON: Sequence[Bike] = (
    {"kind": "road"},
    {"kind": "road", "brakes": "disc", "hydraulic": True, "tubeless": True, "axle": "thru-axle"},
    {"kind": "mtb", "dropper": True, "tubeless": True, "bottom_bracket": "press-fit"},
    {"kind": "city"},
    {"kind": "city", "built_for": "child", "brakes": "coaster", "gears": "single"},
    {"kind": "ebike", "built_for": "cargo", "gears": "derailleur", "sprockets": 10},
)


def digest(route: list[Any]) -> str:
    """The name a route has on the wire: SHA-256 of its canonical JSON."""
    return hashlib.sha256(canonical_json(route).encode()).hexdigest()


def bikes() -> Iterator[tuple[Bike, str]]:
    """The plain kinds, and the usual ones; then any two values of a bike and a service together."""
    for kind, service in itertools.product(KINDS, SERVICES):
        yield {"kind": kind}, service
        yield usual_traits(kind), service
    for row in _pairwise():
        service = row.pop("service")
        yield row, service
    for count, _ in next(field.options for field in FIELDS if field.key == "sprockets"):
        yield {"kind": "road", "sprockets": count}, "standard"


def _pairwise() -> Iterator[Bike]:
    """Rows in which every two values meet at least once; None is a trait that nobody gave."""
    rng = random.Random(8785)
    values = {
        field.key: [
            *_IN_PAIRS.get(field.key, [value for value, _ in field.options]),
            *([] if field.key == "kind" else [None]),
        ]
        for field in FIELDS
    } | {"service": list(SERVICES)}
    open_pairs = {
        frozenset(((one, a), (two, b)))
        for one, two in itertools.combinations(values, 2)
        for a, b in itertools.product(values[one], values[two])
    }
    while open_pairs:
        tries = [_around(min(open_pairs, key=_in_words), values, rng) for _ in range(30)]
        best = max(tries, key=lambda row: len(open_pairs & _pairs(row)))
        open_pairs -= _pairs(best)
        yield {key: value for key, value in best.items() if value is not None}


def _in_words(pair: frozenset[tuple[str, Any]]) -> str:
    return repr(sorted(map(repr, pair)))


def _around(pair: frozenset[Any], values: dict[str, list[Any]], rng: random.Random) -> Bike:
    return {key: rng.choice(options) for key, options in values.items()} | dict(pair)


def _pairs(row: Bike) -> set[frozenset[tuple[str, Any]]]:
    return set(map(frozenset, itertools.combinations(row.items(), 2)))


def catalogue_text() -> str:
    """One line for each step, so that a change can be read in a comparison."""
    parts = [f'"{key}": {_lines(value)}' for key, value in catalogue().items()]
    return "{\n" + ",\n".join(parts) + "\n}\n"


def routes_text() -> str:
    """The cases as one file."""
    grid = [
        {"traits": traits, "service": service, "sha256": digest(compose(traits, service))}
        for traits, service in bikes()
    ]
    whole = [
        {"traits": traits, "service": service, "route": compose(traits, service)}
        for traits, service in _WHOLE
    ]
    refused = [{"traits": traits, "field": field} for traits, field in _REFUSED]
    parts = {"grid": grid, "whole": whole, "refused": refused}
    return "{\n" + ",\n".join(f'"{key}": {_lines(value)}' for key, value in parts.items()) + "\n}\n"


def agreed_text() -> str:
    """Routes with the steps of agreed work, and the order of both together."""
    return _lines([*_agreed()]) + "\n"


def _agreed() -> Iterator[dict[str, Any]]:
    met: set[str] = set()
    for bike in _AGREED_ON:
        fresh = [task["key"] for task in tasks(bike) if task["key"] not in met]
        met.update(fresh)
        for nth, (one, two) in enumerate(itertools.zip_longest(fresh[::2], fresh[1::2])):
            service = list(SERVICES)[nth % len(SERVICES)]
            yield _joined(bike, service, [key for key in (one, two) if key])


def _joined(bike: Bike, service: str, keys: Sequence[str]) -> dict[str, Any]:
    route = compose(bike, service)
    added: list[Any] = []
    for nth, key in enumerate(keys, start=1):
        known = [step["key"] for step in merge(route, added)]
        added += steps_for(
            key,
            finding_id=str(UUID(int=nth)),
            title=key,
            minutes=30,
            safety=False,
            traits=bike,
            route=known,
        )
    return {
        "traits": bike,
        "service": service,
        "tasks": list(keys),
        "added": [{name: step[name] for name in _PLACED if name in step} for step in added],
        "order": [step["key"] for step in merge(route, added)],
    }


_PLACED = ("key", "stage", "title", "after", "before", "reopens")


def _lines(value: Any) -> str:
    if not isinstance(value, list):
        return _text(value)
    return "[\n" + ",\n".join(f" {_text(one)}" for one in value) + "\n]"


def _text(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False)


if __name__ == "__main__":
    CATALOGUE.write_text(catalogue_text(), encoding="utf-8")
    ROUTES.write_text(routes_text(), encoding="utf-8")
    AGREED.write_text(agreed_text(), encoding="utf-8")
