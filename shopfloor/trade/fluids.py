"""
Which brake fluid may go into which brake.

Fluids of two families never meet: the wrong one destroys the seals and the brake fails.
See also frontend/src/trade/brakes.ts.
"""

import re

from shopfloor.trade.tables import Row, table
from shopfloor.words import gettext as _


class UnknownFluid(ValueError):
    """No such fluid is known; then none may go in."""


def is_fluid_allowed(*, system: str, bottle: str) -> bool:
    """
    Whether what is in the bottle may go into the brake.

    system  as marked on lever or cap: DOT4, DOT5.1, DOT or mineral
    bottle  as on the label

    The same family, and a boiling point not below the marked one. Raises UnknownFluid.
    Common practice; grades by 49 CFR 571.116.
    """
    marked, poured = fluid(system), fluid(bottle)
    if marked["family"] != poured["family"] or marked["family"] == "silicone":
        return False
    return marked["grade"] is None or bool(poured["grade"] >= marked["grade"])


def fluid(name: str) -> Row:
    """The row of a fluid; “DOT” alone on a brake means any of glycol. Raises UnknownFluid."""
    plain = re.sub(r"[\s_-]", "", name.upper()).removesuffix("OIL").removesuffix("FLUID")
    plain = {"DOT": "DOT3", "GLYCOL": "DOT3", "SILICONE": "DOT5"}.get(plain, plain)
    for row in table("brake_fluids"):
        if row["key"].upper() == plain:
            return row
    known = ", ".join(row["key"] for row in table("brake_fluids"))
    raise UnknownFluid(
        _(
            "“{name}” is not known: pour nothing in until lever and label say one of {known}."
        ).format(name=name, known=known)
    )
