"""Does a phone compose, from the catalogue it was sent, the very route that the server composes?"""

import json
import os
import random
from pathlib import Path
from typing import Any

import pytest

from shopfloor.journal.values import canonical_json
from shopfloor.trade.fields import FIELDS
from shopfloor.trade.route import SERVICES, UnknownService, compose
from shopfloor.trade.tables import table
from shopfloor.trade.traits import UnknownTrait
from tests.trade import compose_cases
from tests.typescript import needs_node, typescript_answers

CASES = json.loads(compose_cases.ROUTES.read_text("utf-8"))
OUT_OF_DATE = "The tables have changed: run `make cases`, and look at what changed."
BIKES = 400

SCRIPT = """
import { canonicalJson } from "./src/journal/values";
import { compose } from "./src/trade/compose";
import { UnknownTrait } from "./src/trade/traits";

function answer(catalogue, { traits, service }) {
  try {
    return canonicalJson(compose(catalogue, traits, service));
  } catch (error) {
    return error instanceof UnknownTrait ? `not known: ${error.field.label}` : error.name;
  }
}

tell(({ catalogue, bikes }) => bikes.map((bike) => answer(catalogue, bike)));
"""


@pytest.mark.parametrize("case", CASES["grid"])
def test_the_route_of_each_bike_has_the_hash_of_its_case(case: dict[str, Any]) -> None:
    assert compose_cases.digest(compose(case["traits"], case["service"])) == case["sha256"]


@pytest.mark.parametrize("case", CASES["whole"])
def test_the_whole_route_is_that_of_its_case(case: dict[str, Any]) -> None:
    assert compose(case["traits"], case["service"]) == case["route"]


@pytest.mark.parametrize("case", CASES["refused"])
def test_the_refusal_names_the_field_of_its_case(case: dict[str, Any]) -> None:
    label = next(field.label for field in FIELDS if field.key == case["field"])

    with pytest.raises(UnknownTrait, match=f"{label.lower().split()[0]}|^{label}:"):
        compose(case["traits"], "safety")


def test_the_grid_has_every_value_of_every_field_and_any_two_services_of_a_kind() -> None:
    bikes = [case["traits"] | {"service": case["service"]} for case in CASES["grid"]]

    for field in FIELDS:
        met = {bike.get(field.key) for bike in bikes}
        assert met >= {value for value, _ in field.options}
        assert field.key == "kind" or None in met
    assert {(bike["kind"], bike["service"]) for bike in bikes} == {
        (kind, service) for kind, _ in FIELDS[0].options for service in SERVICES
    }


def test_the_case_files_are_those_of_the_tables() -> None:
    assert compose_cases.CATALOGUE.read_text("utf-8") == compose_cases.catalogue_text(), OUT_OF_DATE
    assert compose_cases.ROUTES.read_text("utf-8") == compose_cases.routes_text(), OUT_OF_DATE
    assert compose_cases.AGREED.read_text("utf-8") == compose_cases.agreed_text(), OUT_OF_DATE


def test_every_task_has_joined_some_route_of_the_cases() -> None:
    cases = json.loads(compose_cases.AGREED.read_text("utf-8"))

    assert {key for case in cases for key in case["tasks"]} == {
        row["key"] for row in table("added_work")
    }


def random_bike(rng: random.Random) -> dict[str, Any]:
    """Any values, some of them missing, null or impossible."""
    traits: dict[str, Any] = {"kind": rng.choice(["road", "mtb", "city", "ebike"])}
    for field in FIELDS[1:]:
        draw = rng.random()
        if draw < 0.7:
            traits[field.key] = rng.choice(field.options)[0]
        elif draw < 0.8:
            traits[field.key] = None
    if rng.random() < 0.1:
        traits[rng.choice(FIELDS).key] = rng.choice(["?", 0, 99, None])
    service = "deluxe" if rng.random() < 0.02 else rng.choice(list(SERVICES))
    return {"traits": traits, "service": service}


def python_answer(bike: dict[str, Any]) -> str:
    try:
        return canonical_json(compose(bike["traits"], bike["service"]))
    except UnknownService as error:
        return type(error).__name__
    except UnknownTrait as error:
        label = str(error).partition(":")[0]
        return f"not known: {'Kind of bike' if label.startswith('Say which kind') else label}"


@needs_node
def test_random_bikes_get_the_same_route_in_both_languages(tmp_path: Path) -> None:
    seed = int(os.environ.get("COMPOSE_SEED") or random.SystemRandom().randrange(2**32))
    print(f"COMPOSE_SEED={seed}")
    rng = random.Random(seed)
    bikes = [random_bike(rng) for _ in range(BIKES)]
    catalogue = json.loads(compose_cases.catalogue_text())

    answers = typescript_answers(SCRIPT, {"catalogue": catalogue, "bikes": bikes}, tmp_path)

    assert len(answers) == BIKES
    assert sum(answer.startswith("[") for answer in answers) > BIKES / 2
    for bike, theirs in zip(bikes, answers, strict=True):
        assert theirs == python_answer(bike), f"COMPOSE_SEED={seed}, {bike}"
