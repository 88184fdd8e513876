"""The fault programme itself: a seed says the same every time, and a stale breakage is told."""

from pathlib import Path

import pytest

from tests.faults.broken import run_broken
from tests.faults.mutations import MUTATIONS, Mutation, phone, server
from tests.faults.simulator import ROOT, Built, build, outcomes

NAMED = {mutation.name: mutation for mutation in MUTATIONS}


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Built:
    return build(tmp_path_factory.mktemp("built"))


def test_a_seed_lives_the_same_day_whatever_was_lived_before(built: Built) -> None:
    alone = {one["seed"]: one["hash"] for one in outcomes(built, ["7"])}
    after = {one["seed"]: one["hash"] for one in outcomes(built, ["8", "7"])}

    assert len(alone["7"]) == 64
    assert after["7"] == alone["7"]
    assert after["8"] != alone["7"]


@pytest.mark.parametrize("mutation", MUTATIONS, ids=lambda one: one.name)
def test_what_is_broken_on_purpose_is_in_the_code_once(mutation: Mutation) -> None:
    texts: dict[str, str] = {}
    for patch in mutation.patches:
        text = texts.setdefault(patch["file"], (ROOT / patch["file"]).read_text())
        assert text.count(patch["find"]) == 1, patch
        texts[patch["file"]] = text.replace(patch["find"], patch["put"])


@pytest.mark.parametrize(
    "stale",
    [phone("sync/run.ts", "nobody ever wrote this"), server("calc/command.py", "nor this")],
    ids=["phone", "server"],
)
def test_a_breakage_that_does_not_fit_the_code_is_told(tmp_path, capsys, stale) -> None:
    missed = run_broken(tmp_path, [Mutation("stale", [stale], within=1)], workers=1)

    assert missed == ["stale"]
    assert "DOES NOT FIT" in capsys.readouterr().out


def test_a_breakage_that_breaks_nothing_is_not_noticed(tmp_path: Path, capsys) -> None:
    harmless = phone("sync/run.ts", "const MOST_ROUNDS = 2000;", "const MOST_ROUNDS = 1999;")

    missed = run_broken(tmp_path, [Mutation("harmless", [harmless], within=2)], workers=1)

    assert missed == ["harmless"]
    assert "NOT NOTICED" in capsys.readouterr().out


def test_a_day_that_goes_wrong_is_told_without_what_it_does_not_need(tmp_path: Path) -> None:
    broken = build(tmp_path, NAMED["a repeat gets another id"].patches)

    (whole,) = outcomes(broken, ["1"], trace=True)
    (short,) = outcomes(broken, ["1"], trace=True, shrink=True)

    assert short["wrong"]
    assert len(short["lines"]) < len(whole["lines"]) / 2
