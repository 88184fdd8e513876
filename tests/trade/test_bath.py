"""Is a bath mixed as the label means, and does everything stay out that must?"""

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfloor.trade import bath

# Source: common practice in workshops; there is no standard for cleaning bicycle parts.
ACCEPTED = [
    "steel cassette sprockets",
    "steel chainring",
    "bare steel and stainless bolts",
    "quick-link-opened chain",
    "jockey wheels without sealed bearings",
    "chainring bolts",
    "loose bearing cups, cones, balls",
    "bare rim-brake calliper arms without pads",
    "derailleur cages fully disassembled without seals",
]
WITH_CARE = [
    "anodised aluminium ring",
    "aluminium chainring",
    "polished alloy crank",
    "pedal body with bushes",
    "rear derailleur",
]
REFUSED = [
    "sealed cartridge bearing",
    "assembled hub",
    "freehub body",
    "suspension fork",
    "dropper post",
    "hydraulic caliper",
    "brake lever",
    "carbon seat post",
    "painted frame",
    "magnesium lower",
    "e-bike battery",
    "brake pads",
    "disc rotor",
    "hub gear",
    "leather saddle",
    "jockey wheel with sealed bearing",
    "derailleur cage with seals",
    "anodised carbon crank",
]


@pytest.mark.parametrize(
    ("item", "answer"),
    [(item, "accept") for item in ACCEPTED]
    + [(item, "caution") for item in WITH_CARE]
    + [(item, "refuse") for item in REFUSED],
)
def test_a_part_is_let_in_or_kept_out(item: str, answer: str) -> None:
    assert bath.bath_rule(item)["answer"] == answer


@given(item=st.sampled_from(ACCEPTED), other=st.sampled_from(REFUSED))
def test_what_is_refused_is_refused_in_any_company(item: str, other: str) -> None:
    assert bath.bath_rule(f"{item}, {other}")["answer"] == "refuse"


def test_what_no_rule_speaks_of_stays_out() -> None:
    with pytest.raises(bath.UnknownItem, match="leave it out"):
        bath.bath_rule("sandwich")


def test_a_ratio_is_parts_of_water_not_of_the_whole() -> None:
    # Source: definition; 1:10 is one part in eleven.
    assert bath.concentrate_l(total_l=11, ratio="1:10") == pytest.approx(1)
    assert bath.concentrate_l(total_l=100, ratio="1:10") == pytest.approx(9.09, abs=0.01)


@given(total=st.floats(0.5, 100), parts=st.integers(1, 200))
def test_a_ratio_and_its_percentage_say_the_same(total: float, parts: int) -> None:
    percent = 100 / (1 + parts)

    assert bath.concentrate_l(total_l=total, ratio=f"1:{parts}") == pytest.approx(
        bath.concentrate_l(total_l=total, percent_v=percent)
    )


@given(litres=st.floats(1, 100), now=st.floats(0, 50), wanted=st.floats(0, 90))
def test_a_topped_up_bath_has_the_strength_wanted(litres: float, now: float, wanted: float) -> None:
    if wanted < now:
        with pytest.raises(bath.CannotMix, match="add water"):
            bath.top_up_l(bath_l=litres, current_pct=now, target_pct=wanted)
        return

    added = bath.top_up_l(bath_l=litres, current_pct=now, target_pct=wanted)

    assert (litres * now / 100 + added) / (litres + added) * 100 == pytest.approx(wanted)


def test_heating_takes_as_long_as_pint_says() -> None:
    units: pint.UnitRegistry = pint.UnitRegistry()  # type: ignore[type-arg]
    heat = units.Quantity("10 kg * 4186 J/(kg*K) * 30 K")

    outside = (heat / units.Quantity("500 W")).to("minute").magnitude

    assert bath.heating_minutes(litres=10, rise_c=30, watts=500) == pytest.approx(outside)


@pytest.mark.parametrize(
    ("ratio", "percent", "says"),
    [
        (None, None, "either"),
        ("1:20", 5, "either"),
        ("twenty", None, "not a ratio"),
        ("0:20", None, "some concentrate"),
    ],
)
def test_a_bath_that_is_not_told_clearly_is_refused(
    ratio: str | None, percent: float | None, says: str
) -> None:
    with pytest.raises(bath.CannotMix, match=says):
        bath.concentrate_l(total_l=10, ratio=ratio, percent_v=percent)
