"""Does the table of moves cover every place, agree with the fold, and stand in the guide?"""

from pathlib import Path
from typing import Any, get_args

import pytest

from shopfloor.journal.fold import fold
from shopfloor.journal.release import release_refusals
from shopfloor.journal.state import JobState, PlaceName
from shopfloor.journal.states import MOVES, NOBODY, OWNERS, diagram, moves_from
from tests.journal.cases import load_cases, parse_all

GUIDE = Path(__file__).parents[2] / "DEVELOPERS.md"
PLACES = get_args(PlaceName)


def test_every_place_has_an_owner() -> None:
    assert tuple(OWNERS) == PLACES


def test_only_places_nobody_owns_are_final() -> None:
    assert {place for place in OWNERS if not moves_from(place)} == {
        place for place, owner in OWNERS.items() if owner == NOBODY
    }


def test_every_place_can_be_reached_from_booked() -> None:
    reached, waiting = set(), ["booked"]
    while waiting:
        place = waiting.pop()
        if place not in reached:
            reached.add(place)
            waiting += [move.end for move in MOVES if move.start == place]

    assert reached == set(PLACES)


def test_no_move_stands_twice_or_goes_nowhere() -> None:
    pairs = [(move.start, move.end) for move in MOVES]

    assert len(pairs) == len(set(pairs))
    assert all(start != end for start, end in pairs)


def may_happen(kind: str, before: JobState) -> bool:
    """Whether the rules let the desk write such an entry now."""
    if kind == "released":
        return not release_refusals([], before, [], mode="not-to-ride")
    if kind == "collected":
        return before["place"] == "ready"
    return before["place"] not in ("collected", "cancelled")


@pytest.mark.parametrize("case", load_cases("fold"), ids=lambda case: case["name"])
def test_a_job_moves_only_as_the_table_says(case: dict[str, Any]) -> None:
    """Entry by entry, in the order in which they would be written, as far as the rules allow."""
    entries = parse_all(sorted(case["entries"], key=lambda raw: raw["id"]))
    before = fold([])
    for count, entry in enumerate(entries, start=1):
        if not may_happen(entry.kind, before):
            break
        after = fold(entries[:count])
        allowed = [before["place"], *moves_from(before["place"])]
        assert after["place"] in allowed, f"{before['place']} by {entry.kind}"
        before = after


def test_the_guide_shows_the_table() -> None:
    text = GUIDE.read_text("utf-8")
    _, _, rest = text.partition("<!-- states -->\n")
    shown, _, _ = rest.partition("<!-- /states -->")

    assert shown.strip() == f"```mermaid\n{diagram()}\n```"
