"""Is every kind of entry told in the language of the moment?"""

from typing import Any

import pytest

from shopfloor.desk.words import Names, channel, sentence
from shopfloor.jobs.words import said
from shopfloor.journal.entry import BENCH_KINDS, DESK_KINDS
from tests.words.pseudo import spoken, unmarked

ID = "019c0000-0000-7000-8000-000000000001"
ASK = {"step": "wash", "item": "rim", "phase": "found"}
NAMES = Names(
    people={},
    desk="",
    steps={"wash": "Waschen"},
    asks={},
    findings={ID: "Klingel"},
    currency="GBP",
)
# Everything in it that somebody wrote is German.
BODIES: dict[str, dict[str, Any]] = {
    "tick": {"step": "wash", "outcome": "not-needed", "reason": "sauber"},
    "choice": {**ASK, "value": "rauh"},
    "reading": {**ASK, "value": None, "unit": "mm", "loose": True},
    "photo": {"sha256": "0" * 64, "phase": "before", "step": "wash", "caption": "sauber"},
    "note": {"text": "sauber"},
    "finding": {"title": "Klingel", "reason": "rauh", "minutes": 1, "parts": [], "safety": False},
    "hands-on": {},
    "hands-off": {"on": ID},
    "check": {"step": "wash", "outcome": "not-agreed", "text": "rauh"},
    "void": {"reason": "rauh"},
    "opened": {"number": "J-0001", "service": "full", "traits": {}, "go_ahead_minor": 100},
    "asked": {"offer": ID, "version": 1, "findings": [ID]},
    "answer": {
        "offer": ID,
        "version": 1,
        "channel": "telephone",
        "lines": [{"finding": ID, "decision": "withdrawn"}],
    },
    "route-added": {"finding": ID, "title": "Klingel", "steps": []},
    "parts-in": {"finding": ID},
    "promise": {"ready_at": "2026-03-02T10:15:04Z", "why": "rauh"},
    "released": {"mode": "not-to-ride", "reason": "rauh"},
    "collected": {},
    "cancelled": {"reason": "rauh"},
    "redacted": {"entry": ID},
    "withdrawn": {"reason": "rauh"},
}


@pytest.mark.parametrize("kind", sorted(BENCH_KINDS | DESK_KINDS))
def test_an_entry_is_told_in_the_language_of_the_moment(kind: str) -> None:
    with spoken():
        told = sentence(kind, BODIES[kind], NAMES)

    assert "cannot be read" not in told
    assert unmarked(told) <= {"sauber", "rauh", "Klingel", "Waschen", "rim"}
    assert "‹" in told


def test_so_is_how_an_answer_came() -> None:
    with spoken():
        assert channel("link") == "‹by the link›"
        assert channel("by pigeon") == "‹by pigeon›"


def test_one_minute_is_one() -> None:
    told = sentence("finding", BODIES["finding"], NAMES)

    assert "(1 minute)" in told
    assert "(5 minutes)" in sentence("finding", BODIES["finding"] | {"minutes": 5}, NAMES)


@pytest.mark.parametrize("word", ["not-needed", "found", "not-agreed", "withdrawn"])
def test_a_word_of_the_data_is_told_too(word: str) -> None:
    with spoken():
        assert said(word) == f"‹{word.replace('-', ' ')}›"
    assert said("a-word-to-come") == "a word to come"
