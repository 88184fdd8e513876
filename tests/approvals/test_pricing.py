"""What a line costs; amounts worked out by hand, rounding half up per line."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfloor.approvals.pricing import price_line


@pytest.mark.parametrize(
    ("minutes", "parts", "rate", "vat_bp", "net", "vat", "gross"),
    [
        (60, [], 4800, 2000, 4800, 960, 5760),
        (35, [1150], 4800, 2000, 3950, 790, 4740),  # 35 min of 48.00/h is 28.00
        (10, [], 4800, 2000, 800, 160, 960),
        (1, [], 4700, 2000, 78, 16, 94),  # 78.33 down; 15.6 up
        (0, [999], 4800, 2000, 999, 200, 1199),  # VAT 199.8 up
        (0, [1], 4800, 550, 1, 0, 1),
        (15, [420], 4800, 0, 1620, 0, 1620),
    ],
)
def test_a_line_is_labour_parts_and_vat(
    minutes: int, parts: list[int], rate: int, vat_bp: int, net: int, vat: int, gross: int
) -> None:
    price = price_line(
        minutes=minutes,
        parts=[{"name": "x", "price_minor": minor} for minor in parts],
        labour_rate_minor=rate,
        vat_rate_bp=vat_bp,
    )

    assert (price.net_minor, price.vat_minor, price.gross_minor) == (net, vat, gross)


@given(
    minutes=st.integers(0, 10_000),
    part=st.integers(0, 10_000_000),
    rate=st.integers(0, 100_000),
    vat_bp=st.integers(0, 5_000),
)
def test_rounding_is_never_off_by_more_than_half(
    minutes: int, part: int, rate: int, vat_bp: int
) -> None:
    price = price_line(
        minutes=minutes,
        parts=[{"name": "x", "price_minor": part}],
        labour_rate_minor=rate,
        vat_rate_bp=vat_bp,
    )

    assert abs(price.labour_minor * 60 - minutes * rate) <= 30
    assert abs(price.vat_minor * 10_000 - price.net_minor * vat_bp) <= 5_000
    assert price.net_minor + price.vat_minor == price.gross_minor
