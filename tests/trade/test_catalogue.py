"""What is handed to a phone is enough to compose every route as the server does."""

import json
from collections.abc import Mapping, Sequence
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfloor.trade import graph
from shopfloor.trade.added_work import tasks
from shopfloor.trade.catalogue import catalogue
from shopfloor.trade.fields import FIELDS, KINDS
from shopfloor.trade.route import SERVICES, STAGES, compose
from shopfloor.trade.tables import CATALOGUE

SENT = json.loads(json.dumps(catalogue()))
NO_FIELDS_OF_A_STEP = ("tier", "when", "variants", "torques")


def fits(when: Sequence[Mapping[str, Any]] | None, bike: Mapping[str, Any]) -> bool:
    return when is None or any(
        all(bike.get(key) in (None, *values) for key, values in condition.items())
        for condition in when
    )


def texts(rows: Sequence[Mapping[str, Any]], bike: Mapping[str, Any]) -> list[str]:
    return [row["text"] for row in rows if fits(row["when"], bike)]


def torque(kinds: Sequence[Mapping[str, Any]], bike: Mapping[str, Any]) -> list[Any]:
    kinds = [kind for kind in kinds if fits(kind["when"], bike)]
    if not kinds:
        return []
    ask = dict(kinds[0]["ask"])
    if len(kinds) > 1:
        words = "; ".join(kind["words"] for kind in kinds)
        scale = [0, max(kind["ask"]["scale"][1] for kind in kinds)]
        ask |= {"rule": None, "scale": scale, "note": SENT["by_kind"].format(kinds=words)}
    elif bike["carbon"]:
        ask["note"] = f"{ask['note']} {kinds[0]['carbon']}".strip()
    return [ask]


def step(row: Mapping[str, Any], bike: Mapping[str, Any], kept: Sequence[str]) -> dict[str, Any]:
    told = dict(row)
    for variant in row["variants"]:
        told |= variant if fits(variant["when"], bike) else {}
    asks = [one["ask"] for one in told["asks"] if fits(one["when"], bike)]
    for fastener in told["torques"]:
        asks += torque(fastener["kinds"], bike)
    told |= {
        "points": texts(told["points"], bike),
        "cautions": texts(told["cautions"], bike),
        "checks": [key for key in told["checks"] if key in kept],
        "asks": asks,
        "after": [],
    }
    return {name: value for name, value in told.items() if name not in NO_FIELDS_OF_A_STEP}


def reasons(rows: Mapping[str, Any], kept: Sequence[str]) -> dict[tuple[str, str], str]:
    direct: dict[tuple[str, str], str] = {}
    handed_on: dict[tuple[str, str], str] = {}
    for key in kept:
        seen: set[str] = set()
        waiting = [(pair, direct) for pair in rows[key]["after"]]
        for pair, found in waiting:
            before = pair["key"]
            if before not in rows or before in seen:
                continue
            seen.add(before)
            if before in kept:
                found[before, key] = pair["because"]
            else:
                waiting += [(further, handed_on) for further in rows[before]["after"]]
    implied = graph.implied([*direct, *handed_on])
    return direct | {pair: why for pair, why in handed_on.items() if pair not in implied}


def composed(traits: Mapping[str, Any], service: str) -> list[Any]:
    """The route, from what was sent alone."""
    bike = SENT["usual"][traits["kind"]] | {k: v for k, v in traits.items() if v is not None}
    tiers = [one["key"] for one in SENT["services"]]
    rows = {row["key"]: row for row in SENT["steps"] if fits(row["when"], bike)}
    kept = [key for key, row in rows.items() if tiers.index(row["tier"]) <= tiers.index(service)]
    steps = {key: step(rows[key], bike, kept) for key in kept}
    pairs = reasons(rows, kept)
    for (before, after), because in pairs.items():
        steps[after]["after"].append({"key": before, "because": because})
    ranks = {
        key: (STAGES.index(one["stage"]), place) for place, (key, one) in enumerate(steps.items())
    }
    return [steps[key] for key in graph.stable_order(ranks, list(pairs))]


BIKES = st.fixed_dictionaries(
    {"kind": st.sampled_from(KINDS)},
    optional={
        field.key: st.none() | st.sampled_from([value for value, _ in field.options])
        for field in FIELDS
        if field.key != "kind"
    },
)


@given(traits=BIKES, service=st.sampled_from(list(SERVICES)))
def test_a_route_can_be_composed_from_what_is_sent(traits: dict[str, Any], service: str) -> None:
    assert composed(traits, service) == compose(traits, service)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("service", SERVICES)
def test_the_usual_bike_of_each_kind_gets_the_same_route(kind: str, service: str) -> None:
    assert composed({"kind": kind}, service) == compose({"kind": kind}, service)


@given(traits=BIKES)
def test_the_added_work_of_a_bike_can_be_told_from_what_is_sent(traits: dict[str, Any]) -> None:
    bike = SENT["usual"][traits["kind"]] | {k: v for k, v in traits.items() if v is not None}

    fitting = [task["key"] for task in SENT["tasks"] if fits(task["when"], bike)]

    assert fitting == [task["key"] for task in tasks(traits)]


def test_the_version_is_the_one_kept_with_every_job() -> None:
    assert SENT["version"] == CATALOGUE
