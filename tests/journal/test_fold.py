"""Does the fold give the state that the cases state, whatever the order and the repeats?"""

import random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopfloor.journal.entry import Entry, parse_entry
from shopfloor.journal.fold import fold
from shopfloor.journal.values import same_value
from tests.journal.cases import expected_state, load_cases, parse_all
from tests.journal.random_entries import random_entries

CASES = load_cases("fold")


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_a_case_folds_to_its_state(case: dict[str, Any]) -> None:
    state = fold(parse_all(case["entries"]))

    assert state == expected_state(case)
    assert same_value(state, expected_state(case))


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_a_case_backwards_and_twice_folds_to_the_same_state(case: dict[str, Any]) -> None:
    entries = parse_all(case["entries"])

    assert same_value(fold([*reversed(entries), *entries]), expected_state(case))


def entry_sets() -> st.SearchStrategy[list[Entry]]:
    """Sets of up to 40 entries: good, malformed, unknown, replacing and sharing ids."""
    return st.integers(0, 2**32 - 1).map(
        lambda seed: [parse_entry(raw) for raw in random_entries(random.Random(seed))]
    )


@settings(max_examples=300)
@given(entries=entry_sets(), shuffle=st.randoms(use_true_random=False))
def test_any_order_and_any_repeat_give_the_same_state(
    entries: list[Entry], shuffle: random.Random
) -> None:
    again = [*entries, *shuffle.choices(entries, k=10)] if entries else []
    shuffle.shuffle(again)

    assert same_value(fold(again), fold(entries))


@settings(max_examples=200)
@given(entries=entry_sets(), shuffle=st.randoms(use_true_random=False), phones=st.integers(1, 4))
def test_phones_that_exchange_everything_agree(
    entries: list[Entry], shuffle: random.Random, phones: int
) -> None:
    held: list[list[Entry]] = [[] for _ in range(phones)]
    for entry in entries:
        held[shuffle.randrange(phones)].append(entry)
    server: list[Entry] = []
    for phone in shuffle.sample(held, phones):
        server += [entry for entry in phone if entry not in server]
        phone += [entry for entry in server if entry not in phone]
    for phone in held:
        phone += [entry for entry in server if entry not in phone]

    assert all(same_value(fold(phone), fold(entries)) for phone in held)


@settings(max_examples=100)
@given(entries=entry_sets())
def test_folding_changes_no_entry(entries: list[Entry]) -> None:
    before = repr(entries)

    fold(entries)

    assert repr(entries) == before


@settings(max_examples=200)
@given(entries=entry_sets())
def test_a_place_holds_only_what_nothing_replaces(entries: list[Entry]) -> None:
    state = fold(entries)
    allowed = {entry.id for entry in entries}

    for place, heads in state["places"].items():
        assert heads, place
        assert [head["id"] for head in heads] == sorted({head["id"] for head in heads})
        assert {head["id"] for head in heads} <= allowed
    assert set(state["conflicts"]) <= set(state["places"])
