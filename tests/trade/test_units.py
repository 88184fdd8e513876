"""Do torque and pressure convert as the outside library pint says?"""

import pint
import pytest

from shopfloor.trade.units import UnknownUnit, convert_pressure, convert_torque, to_newton_metres

UREG: pint.UnitRegistry = pint.UnitRegistry()  # type: ignore[type-arg]
TORQUE = {
    "N·m": "newton*meter",
    "lbf·in": "force_pound*inch",
    "lbf·ft": "force_pound*foot",
    "kgf·cm": "force_kilogram*centimeter",
    "kgf·m": "force_kilogram*meter",
}
PRESSURE = {
    "bar": "bar",
    "kPa": "kilopascal",
    "psi": "force_pound/inch**2",
    "MPa": "megapascal",
}


@pytest.mark.parametrize("unit", TORQUE)
@pytest.mark.parametrize("to", TORQUE)
def test_torque_converts_as_pint_says(unit: str, to: str) -> None:
    outside = UREG.Quantity(44, TORQUE[unit]).to(TORQUE[to]).magnitude

    assert convert_torque(44, unit=unit, to=to) == pytest.approx(outside, rel=1e-9)


@pytest.mark.parametrize("unit", PRESSURE)
@pytest.mark.parametrize("to", PRESSURE)
def test_pressure_converts_as_pint_says(unit: str, to: str) -> None:
    outside = UREG.Quantity(100, PRESSURE[unit]).to(PRESSURE[to]).magnitude

    assert convert_pressure(100, unit=unit, to=to) == pytest.approx(outside, rel=1e-9)


def test_a_full_stop_between_the_units_is_understood() -> None:
    assert to_newton_metres(1, "lbf.in") == to_newton_metres(1, "lbf·in")


def test_an_unknown_unit_is_refused_with_the_units_that_are_known() -> None:
    with pytest.raises(UnknownUnit, match="use one of N·m, lbf·in"):
        to_newton_metres(5, "stone")
