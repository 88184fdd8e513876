"""
How worn a chain is, from a ruler or a gauge, and what that means for its number of sprockets.

Says nothing about sprockets from a little-worn chain: it may be new on old teeth.
"""

import math
from typing import Final

from shopfloor.trade.asks import chain_row
from shopfloor.trade.verdict import Judgement, judge
from shopfloor.words import gettext as _

PITCH_MM: Final = 12.7
# Past this it is a misread ruler, not a chain: 5 % is more than a whole link in twenty.
CREDIBLE_PERCENT: Final = (-1.0, 5.0)


class ReadingOutOfRange(ValueError):
    """The reading cannot be that of a chain."""


def elongation_percent(*, length_mm: float, pitches: int) -> float:
    """
    How much longer a chain is than when new, in percent of its new length.

    length_mm  pin centre to pin centre, chain under light tension
    pitches    half links between those pins

    Raises ReadingOutOfRange. See also frontend/src/trade/chain.ts.
    Source: pitch of half an inch, ISO 9633 and ISO 606.
    """
    if pitches < 1:
        raise ReadingOutOfRange(_("Count at least one half link between the pins."))
    percent = (length_mm / (pitches * PITCH_MM) - 1) * 100
    low, high = CREDIBLE_PERCENT
    if not low <= percent <= high:
        raise ReadingOutOfRange(
            _(
                "{length} mm over {pitches} half links is {percent} % longer than new: count the"
                " links and read the ruler again."
            ).format(length=f"{length_mm:g}", pitches=pitches, percent=f"{percent:.1f}")
        )
    return percent


def elongation_by_ruler(*, excess_in: float, nominal_in: float) -> float:
    """
    Percent from what a ruler in inches shows past its nominal length.

    excess_in   how far the last pin stands past the mark
    nominal_in  the mark, usually 12
    """
    if nominal_in <= 0:
        raise ReadingOutOfRange(_("The nominal length must be more than nothing."))
    return excess_in / nominal_in * 100


def elongation_uncertainty(*, reading_std_mm: float, pitches: int, ends: int = 2) -> float:
    """
    Standard uncertainty of an elongation, in percentage points.

    reading_std_mm  standard uncertainty of reading one end
    ends            independent readings that enter, usually two

    Source: sum of squares, GUM (JCGM 100).
    """
    if pitches < 1:
        raise ReadingOutOfRange(_("Count at least one half link between the pins."))
    return 100 * math.sqrt(ends) * reading_std_mm / (pitches * PITCH_MM)


def gauge_bias(*, clearance_mm: float, pitches: float) -> float:
    """
    Percentage points that a gauge adds which spreads two rollers apart.

    clearance_mm  play of the rollers that it takes up at both ends together
    pitches       half links it spans

    Source: geometry; a gauge that pushes both rollers the same way adds nothing.
    """
    if pitches <= 0:
        raise ReadingOutOfRange(_("The gauge must span at least part of a link."))
    return 100 * clearance_mm / (pitches * PITCH_MM)


def judge_chain(
    *, elongation_pct: float, sprockets: int, uncertainty_pct: float = 0.0
) -> Judgement:
    """The verdict on a chain. Source: limits by sprockets in tables/wear.json, common practice."""
    rule = chain_row(sprockets)["rule"]
    return judge(rule, elongation_pct, uncertainty=uncertainty_pct, unit="%")
