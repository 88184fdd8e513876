"""Is a reading judged the same as in the cases that the phone is held to as well?"""

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfloor.trade.verdict import judge

CASES = json.loads(Path("fixtures/cases/verdict.json").read_text(encoding="utf-8"))
OPTIONS = ("uncertainty", "phase", "safety", "unit")


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_a_reading_gets_the_verdict_of_its_case(case: dict[str, Any]) -> None:
    options = {key: case[key] for key in OPTIONS if key in case}

    judgement = judge(case["rule"], case["value"], **options)

    assert judgement.verdict == case["verdict"]
    if "why" in case:
        assert judgement.why == case["why"]


@given(value=st.floats(0, 3), renew=st.floats(0.1, 2), uncertainty=st.floats(0, 0.3))
def test_doubt_never_turns_one_clear_verdict_into_the_other(
    value: float, renew: float, uncertainty: float
) -> None:
    rule = {"type": "minimum", "renew": renew, "watch": None}

    doubted = judge(rule, value, uncertainty=uncertainty).verdict

    assert doubted in {"measure again", judge(rule, value).verdict}


def test_every_sentence_ends_in_a_full_stop_and_names_the_value() -> None:
    why = judge({"type": "band", "min": 4, "max": 6}, 8, phase="left", safety=True).why

    assert why.endswith(".")
    assert why.startswith("8 ")
