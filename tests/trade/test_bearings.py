"""Do bearings, shells and balls agree with lists that other people keep?"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfloor.trade import bearings
from shopfloor.trade.tables import get_row, table
from tests.trade.second_sources import BD_WAREHOUSE_BEARINGS, BOSL2_BEARINGS, BOSL2_SLIPS

SHELLS = table("bottom_brackets")


@pytest.mark.parametrize("code", BD_WAREHOUSE_BEARINGS)
def test_a_bearing_has_the_size_of_the_first_list(code: str) -> None:
    assert bearings.bearing_size(code) == BD_WAREHOUSE_BEARINGS[code]


@pytest.mark.parametrize("code", sorted(BOSL2_BEARINGS.keys() - BOSL2_SLIPS))
def test_a_bearing_has_the_size_of_the_second_list(code: str) -> None:
    assert bearings.bearing_size(code) == BOSL2_BEARINGS[code]


def test_rows_in_no_list_say_that_they_are_from_memory() -> None:
    listed = BD_WAREHOUSE_BEARINGS.keys() | (BOSL2_BEARINGS.keys() - BOSL2_SLIPS)

    for row in table("bearings"):
        assert (row["source_kind"] == "memory") == (row["key"] not in listed), row["key"]


@pytest.mark.parametrize(
    ("code", "key"),
    [
        ("6902-2RS", "6902"),
        ("61902 2RS1", "6902"),
        ("6902LLB", "6902"),
        ("608ZZ", "608"),
        ("mr2437-2rs", "MR2437"),
        ("6805N", "6805N"),
        ("63803 2RS", "63803"),
    ],
)
def test_a_seal_is_read_with_its_letters(code: str, key: str) -> None:
    assert bearings.bearing_row(code)["key"] == key


@pytest.mark.parametrize("code", ["6902N", "1234", "", "bearing"])
def test_an_unknown_seal_asks_to_measure(code: str) -> None:
    with pytest.raises(bearings.UnknownBearing, match="measure bore"):
        bearings.bearing_size(code)


@pytest.mark.parametrize("row", SHELLS, ids=lambda row: row["key"])
def test_every_shell_is_found_by_its_own_measures(row: dict[str, object]) -> None:
    bores = row.get("bores_mm") or row["inside_mm"]

    for width in row["shell_mm"]:
        for bore in bores:
            assert row["key"] in bearings.bottom_bracket_candidates(
                width_mm=width,
                bore_mm=bore,
                threaded=bool(row["threaded"]),
                drive_side_thread=row.get("drive_side"),
                pitch_mm=row.get("pitch_mm"),
            )


@given(
    width=st.sampled_from([65, 68, 70, 71, 73, 83, 86.5, 92]),
    bore=st.sampled_from([33.7, 34.7, 37.0, 41.0, 41.96, 46.0]),
    threaded=st.booleans(),
    hand=st.sampled_from(["left", "right"]),
)
def test_one_more_measure_never_adds_a_candidate(
    width: float, bore: float, threaded: bool, hand: str
) -> None:
    known = {"width_mm": width, "bore_mm": bore, "threaded": threaded}
    few = bearings.bottom_bracket_candidates(**known, drive_side_thread=hand)
    more = bearings.bottom_bracket_candidates(**known)

    assert set(few) <= set(more)
    assert bool(bearings.next_measurement(more)) == (len(more) != 1)


def test_the_next_measure_is_the_one_that_decides() -> None:
    # Source: ISO 6696 and public tables; a bore of 33.6 to 33.9 mm fits four threads.
    measured = {"width_mm": 68, "bore_mm": 33.7, "threaded": True}
    first = bearings.bottom_bracket_candidates(**measured)
    left = bearings.bottom_bracket_candidates(**measured, drive_side_thread="left")
    fine = bearings.bottom_bracket_candidates(**measured, drive_side_thread="left", pitch_mm=1.0)

    assert first == ["iso_bsa", "iso_old_1375", "french", "swiss"]
    assert "drive side" in bearings.next_measurement(first)
    assert "pitch" in bearings.next_measurement(left)
    assert fine == ["swiss"]


def test_the_thread_of_iso_6696_is_24_to_the_inch_and_left_handed() -> None:
    row = get_row("bottom_brackets", "iso_bsa")

    assert row["pitch_mm"] == pytest.approx(25.4 / 24, abs=0.001)
    assert row["drive_side"] == "left"


def test_balls_are_told_by_the_place_alone() -> None:
    # Source: the numbers page of sheldonbrown.com.
    assert bearings.ball_count("front hub") == (10, "3/16")
    assert bearings.ball_count("Rear hub, each side") == (9, "1/4")
    assert bearings.ball_count("bottom bracket") == (11, "1/4")


@pytest.mark.parametrize(("place", "says"), [("headset", "Count"), ("elbow", "front hub")])
def test_balls_that_vary_are_not_guessed(place: str, says: str) -> None:
    with pytest.raises(bearings.UnknownBearing, match=says):
        bearings.ball_count(place)
