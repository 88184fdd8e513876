"""
How things that must come after one another can be ordered, shortened and timed.

Knows names and pairs (before, after) only; nothing about bikes.
"""

import heapq
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

from shopfloor.words import gettext as _

Edge = tuple[str, str]


class Cycle(ValueError):
    """Some of the names wait for each other."""


class UnknownName(ValueError):
    """A pair speaks of a name of which nothing is known."""


class Path(NamedTuple):
    """The longest chain of waiting."""

    length: float
    path: list[str]
    total: float


def stable_order(ranks: Mapping[str, Any], edges: Iterable[Edge]) -> list[str]:
    """
    The names in an order that respects every pair, by rank where the pairs leave it open.

    ranks  name to something sortable and unique; pairs with unknown names are ignored
    Never raises: where names wait for each other, the lowest rank among them goes first.
    """
    followers, waiting = _wiring(ranks, edges)
    open_names = [(rank, name) for name, rank in ranks.items() if waiting[name] == 0]
    heapq.heapify(open_names)
    order: dict[str, None] = {}
    while len(order) < len(ranks):
        name = heapq.heappop(open_names)[1] if open_names else _lowest(ranks, order)
        if name in order:
            continue
        order[name] = None
        for follower in followers[name]:
            waiting[follower] -= 1
            if waiting[follower] == 0:
                heapq.heappush(open_names, (ranks[follower], follower))
    return list(order)


def _wiring(
    ranks: Mapping[str, Any], edges: Iterable[Edge]
) -> tuple[dict[str, list[str]], dict[str, int]]:
    followers: dict[str, list[str]] = defaultdict(list)
    waiting = dict.fromkeys(ranks, 0)
    for before, after in dict.fromkeys(edges):
        if before in ranks and after in ranks and before != after:
            followers[before].append(after)
            waiting[after] += 1
    return followers, waiting


def _lowest(ranks: Mapping[str, Any], done: Mapping[str, None]) -> str:
    return min((name for name in ranks if name not in done), key=lambda name: ranks[name])


def without(edges: Sequence[Edge], removed: str) -> list[Edge]:
    """
    The pairs after one name is taken out; what came before it still comes before what came after.
    """
    before = [a for a, b in edges if b == removed and a != removed]
    kept: dict[Edge, None] = {}
    for a, b in edges:
        if removed not in (a, b):
            kept[a, b] = None
        elif a == removed:
            kept.update(((earlier, b), None) for earlier in before if earlier != b)
    return list(kept)


def implied(edges: Iterable[Edge]) -> set[Edge]:
    """The pairs that already follow from the others."""
    pairs = set(edges)
    followers: dict[str, set[str]] = defaultdict(set)
    for a, b in pairs:
        followers[a].add(b)
    return {
        (a, b)
        for a, b in pairs
        if any(b in _reachable(followers, other) for other in followers[a] - {b})
    }


def _reachable(followers: Mapping[str, set[str]], start: str) -> set[str]:
    reached: set[str] = set()
    waiting = [start]
    while waiting:
        for name in followers.get(waiting.pop(), ()):
            if name not in reached:
                reached.add(name)
                waiting.append(name)
    return reached


def longest_path(minutes: Mapping[str, float], edges: Iterable[Edge]) -> Path:
    """
    The chain of waiting that takes longest, and the minutes of all names together.

    Raises Cycle, or UnknownName for a pair with a name that has no minutes.
    """
    pairs = list(dict.fromkeys(edges))
    for pair in pairs:
        for name in pair:
            if name not in minutes:
                raise UnknownName(_("“{name}” has no minutes: give them too.").format(name=name))
    order = stable_order({name: place for place, name in enumerate(minutes)}, pairs)
    place = {name: index for index, name in enumerate(order)}
    if any(place[a] >= place[b] for a, b in pairs):
        raise Cycle(_("These steps wait for each other; take one of the pairs out."))
    return _walk(minutes, pairs, order)


def _walk(minutes: Mapping[str, float], pairs: list[Edge], order: list[str]) -> Path:
    finish: dict[str, float] = {}
    came_from: dict[str, str | None] = {}
    earlier: dict[str, list[str]] = defaultdict(list)
    for a, b in pairs:
        earlier[b].append(a)
    for name in order:
        last = max(earlier[name], key=lambda item: finish[item], default=None)
        came_from[name] = last
        finish[name] = minutes[name] + (finish[last] if last is not None else 0)
    path: list[str] = []
    step = max(order, key=lambda name: finish[name], default=None)
    length = finish[step] if step is not None else 0.0
    while step is not None:
        path.insert(0, step)
        step = came_from[step]
    return Path(length, path, sum(minutes.values()))
