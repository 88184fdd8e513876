"""The run of all checks: nothing is skipped in silence, nothing passes without a test."""

import re
import sys
from pathlib import Path

import pytest

from tests import run, servers
from tests.beside import Beside

REPORT = '<testsuites><testsuite tests="{}" failures="{}" errors="0" skipped="{}"/></testsuites>'


def missing(_folder: Path) -> run.Result:
    raise servers.Missing("Redis is not installed")


@pytest.mark.parametrize(("in_ci", "failed", "skipped"), [(True, 1, 0), (False, 0, 1)])
def test_what_cannot_run_fails_in_ci_and_is_skipped_aloud_elsewhere(
    monkeypatch, capsys, tmp_path, in_ci, failed, skipped
):
    monkeypatch.setattr(run, "IN_CI", in_ci)

    result = run.attempt(missing, tmp_path)

    assert (result.failed, result.skipped) == (failed, skipped)
    assert "Redis is not installed" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("report", "ok", "counts"),
    [
        (REPORT.format(10, 1, 2), False, (7, 1, 2)),
        (REPORT.format(10, 0, 0), True, (10, 0, 0)),
        (REPORT.format(10, 0, 0), False, (10, 1, 0)),
        (REPORT.format(0, 0, 0), True, (0, 1, 0)),
        (REPORT.format(3, 0, 3), True, (0, 1, 0)),
    ],
)
def test_a_stage_counts_its_tests_and_fails_without_any(tmp_path, report, ok, counts):
    (tmp_path / "report.xml").write_text(report)

    result = run.counted(tmp_path / "report.xml", ok=ok)

    assert (result.passed, result.failed, result.skipped) == counts


@pytest.mark.parametrize(
    ("code", "ok"), [("print('all lived')", True), ("exit('one died')", False)]
)
def test_what_computes_beside_is_heard_at_its_end(capsys, tmp_path, code, ok):
    beside = Beside([sys.executable, "-c", code], tmp_path / "said.txt")

    assert beside.ended_well() is ok
    assert re.search("all lived|one died", capsys.readouterr().out)


def test_the_closing_line_stands_alone(capsys):
    run._summary([("one", run.Result(passed=2), 1.0), ("two", run.Result(failed=1), 1.0)])

    assert capsys.readouterr().out.splitlines()[-1] == "2 passed, 1 failed"
