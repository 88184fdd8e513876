"""Does the real command answer every case as its source says, and survive bad lines?"""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

FILES = ("trade", "planning", "messages")
CASES = [
    json.loads(line)
    for name in FILES
    for line in Path(f"fixtures/cases/{name}.ndjson").read_text(encoding="utf-8").splitlines()
]


def run(*lines: str | bytes) -> list[dict[str, Any]]:
    asked = b"".join((line if isinstance(line, bytes) else line.encode()) + b"\n" for line in lines)
    done = subprocess.run(
        [sys.executable, "-m", "shopfloor", "calc"], input=asked, capture_output=True, timeout=60
    )
    assert done.returncode == 0
    assert done.stderr == b""
    return [json.loads(line) for line in done.stdout.splitlines()]


@pytest.fixture(scope="module")
def answers() -> dict[str, dict[str, Any]]:
    questions = [{key: case[key] for key in ("id", "calc", "inputs")} for case in CASES]
    return {answer["id"]: answer for answer in run(*map(json.dumps, questions))}


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_the_command_answers_as_the_source_says(
    case: dict[str, Any], answers: dict[str, dict[str, Any]]
) -> None:
    answer = answers[case["id"]]

    if str(case["expected"]).startswith("error:"):
        assert answer["error"].startswith(case["expected"].removeprefix("error:"))
    else:
        assert "error" not in answer, answer
        assert answer["result"] == within(case["expected"], case["tolerance"])


def within(expected: Any, tolerance: dict[str, Any]) -> Any:
    if tolerance.get("exact"):
        return expected
    if isinstance(expected, dict):
        return {key: within(value, tolerance) for key, value in expected.items()}
    bounds = {key: tolerance[key] for key in ("abs", "rel") if key in tolerance}
    return pytest.approx(expected, **bounds)


def test_every_case_has_a_source() -> None:
    assert len(CASES) > 200
    assert all(case["source"] for case in CASES)


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("not json", "not JSON: Expecting value"),
        ("[1, 2]", "not a question"),
        (b"\xff\xfe", "not JSON"),
        ("[" * 100_000, "not JSON"),
        ('{"id": "a", "calc": "tea-leaves", "inputs": {}}', "unknown calc tea-leaves"),
        ('{"id": "a", "calc": "pert", "inputs": {}}', "steps is missing: give it"),
        ('{"id": "a", "calc": "pert", "inputs": {"steps": [["x", 1, 2]]}}', "“x” is not a number"),
        ('{"id": "a", "calc": "pert", "inputs": {"steps": [[null, 1, 2]]}}', "of the wrong type"),
        ('{"id": "a", "calc": "pert", "inputs": [1, 2]}', '"inputs" must be an object'),
        ('{"id": "a", "calc": "is-holiday", "inputs": {}}', "unknown or missing: region"),
        (
            '{"id": "a", "calc": "torque-convert",'
            ' "inputs": {"value": 1, "from": "stone", "to": "N.m"}}',
            "no unit of torque",
        ),
        (
            '{"id": "a", "calc": "critical-path",'
            ' "inputs": {"minutes": {"a": 1, "b": 1}, "edges": [["a", "b"], ["b", "a"]]}}',
            "wait for each other",
        ),
        (
            '{"id": "a", "calc": "is-holiday", "inputs": {"region": "XX", "date": "2026-01-01"}}',
            "No bank holidays are known",
        ),
        (
            '{"id": "a", "calc": "chain-elongation", "inputs": {"length_mm": 900, "pitches": 24}}',
            "read the ruler again",
        ),
        (
            '{"id": "a", "calc": "open-time-add", "inputs": {"calendar": {"tz": "Europe/London",'
            ' "weekly": {"mon": [["9", "17:00"]]}}, "at": "2026-03-02T10:00Z", "open_minutes": 5}}',
            "write it as 09:00",
        ),
        (
            '{"id": "a", "calc": "earliest-send", "inputs": {"now": "2026-03-02T10:00",'
            ' "tz": "Europe/London", "start": "09:00", "end": "20:00"}}',
            "has no offset",
        ),
    ],
)
def test_a_bad_line_gets_an_error_and_the_next_one_its_answer(line: str | bytes, says: str) -> None:
    good = '{"id": "b", "calc": "torque-limit-of-clamped-parts", "inputs": {"limits_nm": [6, 5]}}'

    bad, answer = run(line, "", good)

    assert says in bad["error"]
    assert answer == {"id": "b", "result": 5}


def test_what_must_be_said_beside_an_answer_and_what_nobody_knew_are_told() -> None:
    inputs = {"rim_offset_mm": 5, "rim_dia_mm": 622, "colour": "red"}

    (told,) = run(json.dumps({"id": 1, "calc": "hanger-angle", "inputs": inputs}))

    assert told["says"] == ["More than 4 mm at the rim: straighten or renew the hanger."]
    assert told["ignored"] == ["colour"]


def test_answers_come_line_by_line_and_do_not_wait_for_the_end() -> None:
    with subprocess.Popen(
        [sys.executable, "-m", "shopfloor", "calc"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as talk:
        assert talk.stdin is not None
        assert talk.stdout is not None
        talk.stdin.write('{"id": 1, "calc": "pert", "inputs": {"steps": [[1, 1, 1]]}}\n')
        talk.stdin.flush()

        answer = json.loads(talk.stdout.readline())

        assert answer["result"] == {"mean": 1.0, "sd": 0.0}
