"""All calculators, by topic in the order of the page and by name."""

from typing import Final

from shopfloor.trade.calculators import (
    bath,
    bearings,
    bolts,
    brakes,
    chain,
    gearing,
    route,
    torque,
    tyres,
    wheels,
)
from shopfloor.trade.calculators.declare import Calculator, Topic

TOPICS: Final[tuple[Topic, ...]] = (
    chain.TOPIC,
    torque.TOPIC,
    bolts.TOPIC,
    brakes.TOPIC,
    tyres.TOPIC,
    wheels.TOPIC,
    bearings.TOPIC,
    bath.TOPIC,
    gearing.TOPIC,
    route.TOPIC,
)
CALCULATORS: Final[dict[str, Calculator]] = {
    calculator.name: calculator for topic in TOPICS for calculator in topic.calculators
}
