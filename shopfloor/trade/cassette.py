"""
What a chain says about the sprockets it runs on, and what it cannot say.

See also frontend/src/trade/cassette.ts.
"""

from typing import Final

from shopfloor.trade.asks import chain_row
from shopfloor.trade.verdict import RENEW, SOUND, WATCH

UNKNOWN: Final = "unknown"
SKIPS: Final = "skips"
HOLDS: Final = "holds"
NOT_DONE: Final = "not done"


def judge_cassette(
    *,
    elongation_pct: float,
    skip_test: str = NOT_DONE,
    chains_on_this_cassette: int | None = None,
    sprockets: int = 11,
) -> str:
    """
    renew, watch, sound or unknown.

    elongation_pct           of the chain that runs on it now
    skip_test                under load with a new chain: skips, holds or not done
    chains_on_this_cassette  this chain counted; None where nobody knows
    sprockets                decide from which elongation worn sprockets are likely

    A barely worn chain alone says nothing: it may be new on worn teeth. Common practice.
    """
    if skip_test == SKIPS:
        return RENEW
    if skip_test == HOLDS:
        return SOUND
    if elongation_pct >= chain_row(sprockets)["sprockets_suspect_pct"]:
        return WATCH
    return SOUND if chains_on_this_cassette == 1 else UNKNOWN
