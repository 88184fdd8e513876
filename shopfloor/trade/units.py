"""
How a torque or a pressure read in one unit reads in another.

Only units that stand on workshop tools; everything is compared in N·m and kPa.
"""

from typing import Final

from shopfloor.words import gettext as _

POUND_FORCE_NEWTONS: Final = 0.45359237 * 9.80665
INCH_METRES: Final = 0.0254
FOOT_METRES: Final = 0.3048

NEWTON_METRES_PER: Final[dict[str, float]] = {
    "N·m": 1.0,
    "lbf·in": POUND_FORCE_NEWTONS * INCH_METRES,
    "lbf·ft": POUND_FORCE_NEWTONS * FOOT_METRES,
    "kgf·cm": 9.80665 * 0.01,
    "kgf·m": 9.80665,
}
KILOPASCALS_PER: Final[dict[str, float]] = {
    "kPa": 1.0,
    "bar": 100.0,
    "psi": POUND_FORCE_NEWTONS / INCH_METRES**2 / 1000,
    "MPa": 1000.0,
}


class UnknownUnit(ValueError):
    """The unit is not one a workshop tool shows."""


def canonical_unit(unit: str) -> str:
    """The unit as written here: a plain full stop or star between factors is taken for the dot."""
    return unit.strip().replace(".", "·").replace("*", "·").replace("⋅", "·")


def _factor(unit: str, table: dict[str, float], quantity: str) -> float:
    factor = table.get(canonical_unit(unit))
    if factor is None:
        raise UnknownUnit(
            _("“{unit}” is no unit of {quantity} here; use one of {units}.").format(
                unit=unit, quantity=quantity, units=", ".join(table)
            )
        )
    return factor


def convert_torque(value: float, *, unit: str, to: str) -> float:
    """
    The same torque in another unit.

    Raises UnknownUnit. Source: pound and inch as defined exactly in 1959, standard gravity.
    """
    return (
        value
        * _factor(unit, NEWTON_METRES_PER, _("torque"))
        / _factor(to, NEWTON_METRES_PER, _("torque"))
    )


def to_newton_metres(value: float, unit: str) -> float:
    """A torque reading in N·m. See also frontend/src/trade/units.ts."""
    return value * _factor(unit, NEWTON_METRES_PER, _("torque"))


def is_torque_unit(unit: str) -> bool:
    return canonical_unit(unit) in NEWTON_METRES_PER


def convert_pressure(value: float, *, unit: str, to: str) -> float:
    """The same pressure in another unit. Raises UnknownUnit."""
    return (
        value
        * _factor(unit, KILOPASCALS_PER, _("pressure"))
        / _factor(to, KILOPASCALS_PER, _("pressure"))
    )
