"""How verdicts are asked for and said, the same for every part that wears."""

from collections.abc import Callable
from typing import Any, Final

from shopfloor.trade.calculators.declare import Answer, Field
from shopfloor.trade.calculators.reading import number
from shopfloor.trade.verdict import Judgement
from shopfloor.words import gettext_noop as _

VERDICT: Final = Answer(
    words={
        "sound": _("sound"),
        "watch": _("watch"),
        "renew": _("renew"),
        "unsafe": _("unsafe"),
        "measure again": _("measure again"),
        "": _("the mark decides"),
    }
)


def uncertainty_field(key: str, unit: str) -> Field:
    """The standard uncertainty of a reading, which may be left out."""
    return Field(
        key=key,
        label=_("Standard uncertainty of the reading"),
        read=number(least=0),
        unit=unit,
        hint=_("0 when the instrument is not known."),
        default=0.0,
        example="0",
        also=("standard_uncertainty", "uncertainty", f"u_{unit}".replace("%", "pct"), "u"),
    )


def judged(judge: Callable[..., Judgement]) -> Callable[..., Any]:
    """The verdict alone of a function that also says why."""
    return lambda **given: judge(**given).verdict
