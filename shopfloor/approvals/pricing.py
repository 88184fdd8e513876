"""What a finding costs: labour by the minute, parts, VAT. Integer minor units, rounded per line."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Price:
    """One line in minor units; net + vat = gross."""

    labour_minor: int
    parts_minor: int
    net_minor: int
    vat_minor: int
    gross_minor: int


def price_line(
    *, minutes: int, parts: Sequence[Mapping[str, Any]], labour_rate_minor: int, vat_rate_bp: int
) -> Price:
    """
    Price one finding.

    labour_rate_minor  net price of one hour
    vat_rate_bp        VAT in hundredths of a percent; 2000 is 20 %

    Labour and VAT are each rounded half up to the minor unit, per line (a shop's usual way; the
    sum of lines is then the total, with no rounding of its own).
    """
    labour = _half_up(minutes * labour_rate_minor, 60)
    parts_minor = sum(int(part.get("price_minor") or 0) for part in parts)
    net = labour + parts_minor
    vat = vat_on(net, vat_rate_bp)
    return Price(labour, parts_minor, net, vat, net + vat)


def vat_on(net_minor: int, vat_rate_bp: int) -> int:
    """The VAT on an amount, rounded half up to the minor unit; the rate as for price_line."""
    return _half_up(net_minor * vat_rate_bp, 10_000)


def lacks_parts(parts: Iterable[Mapping[str, Any]]) -> bool:
    """Whether some part has to be ordered first; one of which nothing is said is in stock."""
    return any(not part.get("in_stock", True) for part in parts)


def _half_up(numerator: int, denominator: int) -> int:
    return (2 * numerator + denominator) // (2 * denominator)
