"""Does the phone read names and project wear as the server does, beyond the shared cases?"""

import random
from pathlib import Path
from typing import Any

import pytest

from shopfloor.trade.projection import NoProjection, project_wear
from shopfloor.trade.tables import table
from shopfloor.trade.torque import conformance_probability
from shopfloor.trade.tyre_sizes import UnknownSize, bead_seat_candidates
from tests.typescript import needs_node, typescript_answers

SCRIPT = """
import { projectWear } from "./src/trade/projection";
import { conformanceProbability } from "./src/trade/torque";
import { beadSeatCandidates } from "./src/trade/tyres";

function orNull(answer) {
  try {
    return answer();
  } catch {
    return null;
  }
}

tell(({ tables, names, readings, shares }) => ({
  names: names.map((name) => orNull(() => beadSeatCandidates(tables, name))),
  readings: readings.map((one) => orNull(() => projectWear(one))),
  shares: shares.map((one) => conformanceProbability(...one)),
}));
"""


def names(dice: random.Random) -> list[str]:
    """Names of the tables, and others put together of their pieces."""
    rows = table("bead_seats")
    known = [name for row in rows for name in row["names"]]
    known += [other["name"] for row in rows for other in row["also"]]
    pieces = [piece for name in known for piece in name.split("x")]
    made = [dice.choice(["x", " x ", "×", "-"]).join(dice.choices(pieces, k=2)) for _ in range(300)]
    return [*known, *pieces, *made, *(f"{name} inch" for name in pieces), "37-622", ""]


def readings(dice: random.Random) -> list[dict[str, Any]]:
    made = []
    for _ in range(100):
        count = dice.randint(2, 9)
        x = [dice.uniform(0, 5000) for _ in range(count)]
        y = [0.0002 * km + dice.gauss(0, 0.05) for km in x]
        made.append({"x": x, "elongationPct": y, "thresholdPct": 0.5, "confidence": 0.9})
    return made


def projected(one: dict[str, Any]) -> dict[str, float] | None:
    try:
        return project_wear(
            x=one["x"],
            elongation_pct=one["elongationPct"],
            threshold_pct=one["thresholdPct"],
            confidence=one["confidence"],
        )._asdict()
    except NoProjection:
        return None


def seats(name: str) -> list[int] | None:
    try:
        return bead_seat_candidates(name)
    except UnknownSize:
        return None


@needs_node
def test_both_languages_come_to_the_same(tmp_path: Path) -> None:
    dice = random.Random(11)
    asked = {
        "tables": {
            "seats": [dict(row) for row in table("bead_seats")],
            "ambiguous": [dict(row) for row in table("ambiguous_sizes")],
        },
        "names": names(dice),
        "readings": readings(dice),
        "shares": [
            [
                dice.uniform(2, 8),
                dice.uniform(0.05, 1),
                dice.choice([None, 4]),
                dice.choice([None, 6]),
            ]
            for _ in range(200)
        ],
    }

    told = typescript_answers(SCRIPT, asked, tmp_path)

    assert told["names"] == [seats(name) for name in asked["names"]]
    for here, there in zip(map(projected, asked["readings"]), told["readings"], strict=True):
        assert there == (None if here is None else pytest.approx(here, rel=1e-9))
    keys = ("reading", "standard_uncertainty", "lower", "upper")
    assert told["shares"] == pytest.approx(
        [conformance_probability(**dict(zip(keys, one, strict=True))) for one in asked["shares"]],
        abs=1e-12,
    )
