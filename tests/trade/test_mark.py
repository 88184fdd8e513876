"""The mark on the part comes first; the cases are shared with the phone."""

import json
from pathlib import Path
from typing import Any

import pytest

from shopfloor.trade.mark import with_mark

CASES = json.loads(
    (Path(__file__).parents[2] / "fixtures" / "cases" / "mark.json").read_text(encoding="utf-8")
)


@pytest.mark.parametrize("case", CASES, ids=[case["name"] for case in CASES])
def test_limits_with_a_mark(case: dict[str, Any]) -> None:
    found = with_mark(case["rule"], case["mark"])

    numbers = {k: v for k, v in (case["expected"] or {}).items() if isinstance(v, float | int)}
    assert {k: (found or {})[k] for k in numbers} == pytest.approx(numbers)
    assert (found or {}).keys() == (case["expected"] or {}).keys()
