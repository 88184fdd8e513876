"""Are fluids kept apart, and is nothing concluded about sprockets that a chain cannot say?"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfloor.trade.cassette import judge_cassette
from shopfloor.trade.fluids import UnknownFluid, is_fluid_allowed
from shopfloor.trade.tables import table

FLUIDS = [row["key"] for row in table("brake_fluids")]
FAMILY = {row["key"]: row["family"] for row in table("brake_fluids")}


@given(system=st.sampled_from(FLUIDS), bottle=st.sampled_from(FLUIDS))
def test_two_families_never_meet(system: str, bottle: str) -> None:
    # Source: seals of one family are destroyed by the other; common practice.
    if FAMILY[system] != FAMILY[bottle]:
        assert not is_fluid_allowed(system=system, bottle=bottle)


@pytest.mark.parametrize(
    ("system", "bottle", "allowed"),
    [
        ("DOT4", "DOT5.1", True),
        ("DOT 4", "dot4", True),
        ("DOT5.1", "DOT4", False),
        ("DOT", "DOT4", True),
        ("DOT5", "DOT5", False),
        ("mineral oil", "mineral", True),
    ],
)
def test_a_fluid_boils_no_sooner_than_the_mark_asks(
    system: str, bottle: str, allowed: bool
) -> None:
    # Source: 49 CFR 571.116, least boiling points rise from DOT 3 to DOT 5.1.
    assert is_fluid_allowed(system=system, bottle=bottle) is allowed


def test_an_unknown_fluid_is_not_poured() -> None:
    with pytest.raises(UnknownFluid, match="pour nothing"):
        is_fluid_allowed(system="DOT4", bottle="olive oil")


@given(percent=st.floats(0, 0.74), sprockets=st.integers(1, 14))
def test_a_little_worn_chain_alone_says_nothing(percent: float, sprockets: int) -> None:
    # Source: common practice; it may be a new chain on worn teeth.
    assert judge_cassette(elongation_pct=percent, sprockets=sprockets) == "unknown"


@pytest.mark.parametrize(
    ("percent", "chains", "test", "verdict"),
    [
        (0.1, None, "skips", "renew"),
        (1.2, 1, "holds", "sound"),
        (0.9, None, "not done", "watch"),
        (0.1, 1, "not done", "sound"),
        (0.1, 3, "not done", "unknown"),
    ],
)
def test_a_skip_test_decides_then_the_chain_then_the_history(
    percent: float, chains: int | None, test: str, verdict: str
) -> None:
    found = judge_cassette(elongation_pct=percent, chains_on_this_cassette=chains, skip_test=test)

    assert found == verdict
