"""Are marks and names of tyres read as the lists say, and pressures kept below every mark?"""

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfloor.trade import tyre_pressures as pressures
from shopfloor.trade import tyre_sizes as sizes
from shopfloor.trade.tables import table

UNITS: pint.UnitRegistry = pint.UnitRegistry()  # type: ignore[type-arg]

# Source: public chart of bicycle tyre sizes, dimensionsinfo.com; and for the last three the list of
# bead diameters of the European Tyre and Rim Technical Organisation in a public encyclopedia.
CHARTED = [
    ("28x1 1/2", 635),
    ("700C", 622),
    ("26x1 1/4", 597),
    ("26x1 3/8", 590),
    ("650A", 590),
    ("650B", 584),
    ("26x1 1/2", 584),
    ("26x1", 571),
    ("26x1 3/4", 571),
    ("650C", 571),
    ("26x1.00", 559),
    ("26x2.125", 559),
    ("24x1", 520),
    ("24x1.5", 507),
    ("24x2.125", 507),
    ("20x1 1/8", 451),
    ("20x1 1/4", 451),
    ("20x1 3/8", 451),
    ("20x1.5", 406),
    ("18x1.75", 355),
    ("17x1 1/4", 369),
    ("16x1 3/4", 317),
    ("16x2.125", 305),
    ("10x2", 152),
    ("8x1 1/4", 137),
    ("450A", 390),
    ("400A", 340),
    ("350A", 288),
]


@pytest.mark.parametrize(("name", "seat"), CHARTED)
def test_a_name_means_what_the_public_charts_say(name: str, seat: int) -> None:
    assert sizes.bead_seat_candidates(name) == [seat]


@pytest.mark.parametrize(
    ("name", "seats"),
    [
        ("20 inch", [406, 440, 451]),
        ('26"', [559, 571, 584, 590, 597]),
        ("28", [622, 635, 642]),
        ("16 x 1 3/8", [335, 337, 340, 349]),
        ("24x1 1/8", [520, 540]),
        ("650x42", [571, 584, 590]),
    ],
)
def test_a_name_with_several_meanings_gets_them_all(name: str, seats: list[int]) -> None:
    assert sizes.bead_seat_candidates(name) == seats


@pytest.mark.parametrize("name", ["26×1⅜", "26 x 1-3/8", ' 26" x 1 3/8" ', "26X1 3/8"])
def test_a_name_is_read_however_it_is_written(name: str) -> None:
    assert sizes.bead_seat_candidates(name) == [590]


def test_old_sizes_under_the_same_name_are_told() -> None:
    assert sizes.also_called("26x1 3/8") == [(597, "old American, marked S-6")]
    assert sizes.also_called("26x1.375") == [(599, "very old American")]


def test_an_unknown_name_asks_for_the_mark() -> None:
    with pytest.raises(sizes.UnknownSize, match="read the ISO mark"):
        sizes.bead_seat_candidates("medium")


@given(
    width=st.integers(18, 99),
    seat=st.sampled_from([row["bead_seat_mm"] for row in table("bead_seats")]),
)
def test_a_mark_is_read_back_as_it_was_written(width: int, seat: int) -> None:
    size = sizes.read_mark(f"ISO {width}-{seat} (700x{width}C)")

    assert (size.width_mm, size.bead_seat_mm) == (width, seat)
    assert sizes.bead_seat_candidates(f"{width}-{seat}") == [seat]
    assert sizes.fits_rim(f"{width}-{seat}", rim_bead_seat_mm=seat)
    assert not sizes.fits_rim(f"{width}-{seat}", rim_bead_seat_mm=seat + 1)


@given(value=st.floats(1.5, 9), unit=st.sampled_from(["bar", "psi", "kPa"]))
def test_a_pressure_beside_the_mark_is_that_of_pint(value: float, unit: str) -> None:
    name = "force_pound/inch**2" if unit == "psi" else unit
    shown = round(value, 2)

    size = sizes.read_mark(f"37-622 max {shown} {unit}")

    assert size.pressure_kpa == pytest.approx(UNITS.Quantity(shown, name).to("kPa").magnitude)


@pytest.mark.parametrize("mark", ["700x28C", "622-37", "37 622", "999-622", ""])
def test_what_is_no_mark_is_refused(mark: str) -> None:
    with pytest.raises(sizes.UnknownSize):
        sizes.read_mark(mark)


def test_the_circumference_is_that_of_the_diameter() -> None:
    assert sizes.circumference_mm("47-559") == pytest.approx(
        math.pi * sizes.overall_diameter_mm("47-559")
    )


@given(
    tyre=st.one_of(st.none(), st.floats(1, 12)),
    rim=st.one_of(st.none(), st.floats(1, 12)),
    hookless=st.booleans(),
)
def test_the_limit_is_above_no_mark(tyre: float | None, rim: float | None, hookless: bool) -> None:
    if tyre is None and rim is None and not hookless:
        with pytest.raises(pressures.NoPressure, match="marked on the tyre"):
            pressures.pressure_limit_bar(tyre_max_bar=tyre, rim_max_bar=rim)
        return

    limit = pressures.pressure_limit_bar(tyre_max_bar=tyre, rim_max_bar=rim, hookless=hookless)

    assert all(limit <= mark for mark in (tyre, rim) if mark is not None)
    assert limit <= 5 or not hookless


@given(load=st.floats(9.1, 99), width=st.floats(18, 40))
def test_more_load_wants_more_pressure(load: float, width: float) -> None:
    light = pressures.pressure_for_load_bar(load_kg=load, width_mm=width)
    heavy = pressures.pressure_for_load_bar(load_kg=load + 0.5, width_mm=width)

    assert heavy > light


@pytest.mark.parametrize(("load", "width"), [(5, 28), (150, 28), (45, 50), (45, 10)])
def test_outside_of_its_chart_no_pressure_is_said(load: float, width: float) -> None:
    with pytest.raises(pressures.NoPressure, match="outside"):
        pressures.pressure_for_load_bar(load_kg=load, width_mm=width)


def test_the_least_pressure_follows_width_and_use() -> None:
    # Source: ISO 5775-1, an older edition as quoted by a public encyclopedia.
    assert pressures.minimum_pressure_kpa(width_mm=25) == 300
    assert pressures.minimum_pressure_kpa(width_mm=26) == 200
    assert pressures.minimum_pressure_kpa(width_mm=50, use="off-road") == 150


@pytest.mark.parametrize(
    ("tyre", "rim", "hookless", "suits"),
    [(28, 17, False, True), (28, 25, False, False), (62, 19, False, False), (40, 25, True, True)],
)
def test_the_width_suits_between_narrow_and_wide(
    tyre: float, rim: float, hookless: bool, suits: bool
) -> None:
    # Source: common practice, tyre to rim from 1.4 to 2.4.
    assert pressures.width_suits_rim(tyre_mm=tyre, rim_internal_mm=rim, hookless=hookless) is suits


def test_without_hooks_a_narrow_tyre_never_suits() -> None:
    # Source: European Tyre and Rim Technical Organisation, as reported: 28 mm, 29 on 25 inside.
    assert not pressures.width_suits_rim(tyre_mm=27, rim_internal_mm=17, hookless=True)
    assert pressures.least_hookless_mm(23) == 28
    assert pressures.least_hookless_mm(25) == 29
