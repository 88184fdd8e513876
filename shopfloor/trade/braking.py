"""
Whether rotor, pad, lining and rim wall may stay on the bike.

The mark on the part comes first; limits here are common practice for parts without one.
"""

from typing import Any, Final

from shopfloor.trade.tables import get_row
from shopfloor.trade.verdict import Judgement, judge
from shopfloor.words import gettext as _

PAD_ROWS: Final = {"disc": "disc-pad", "rim": "rim-block", "drum": "drum-lining"}


class UnknownPad(ValueError):
    """There is no limit for such a pad."""


def judge_rotor(
    *, thickness_mm: float, minimum_mm: float | None = None, uncertainty_mm: float = 0.0
) -> Judgement:
    """
    minimum_mm      as stamped on the rotor; the table's where there is none
    uncertainty_mm  standard uncertainty of the gauge
    """
    rule = dict(get_row("wear", "rotor")["rule"])
    if minimum_mm is not None:
        rule["renew"] = minimum_mm
    return judge(rule, thickness_mm, uncertainty=uncertainty_mm, safety=True, unit="mm")


def judge_pad(*, friction_mm: float, kind: str = "disc", uncertainty_mm: float = 0.0) -> Judgement:
    """
    friction_mm  friction material alone, at its thinnest
    kind         disc, rim (above the wear line) or drum

    Raises UnknownPad.
    """
    if kind not in PAD_ROWS:
        raise UnknownPad(
            _("“{kind}” is no kind of pad here; use one of {kinds}.").format(
                kind=kind, kinds=", ".join(PAD_ROWS)
            )
        )
    return judge(_rule(PAD_ROWS[kind]), friction_mm, uncertainty=uncertainty_mm, unit="mm")


def judge_rim_wall(*, wall_mm: float, uncertainty_mm: float = 0.0) -> Judgement:
    """wall_mm  at its thinnest, between the brake track and the tyre"""
    return judge(_rule("rim-wall"), wall_mm, uncertainty=uncertainty_mm, unit="mm")


def _rule(key: str) -> dict[str, Any]:
    return dict(get_row("wear", key)["rule"])
