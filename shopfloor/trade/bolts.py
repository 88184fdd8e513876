"""
What a bolt can bear, and how hard a torque pulls it under this or that lubricant.

Knows the bolt only: thin or carbon parts that it clamps are often weaker.
See also frontend/src/trade/bolts.ts.
"""

import math
import re
from typing import Final, NamedTuple

from shopfloor.trade.tables import Row, get_row, table
from shopfloor.words import gettext as _

# The thread's core is smaller than its outside by this many pitches (ISO 724 and ISO 898-1).
_CORE: Final = 0.938194
# A joint that is opened again is pulled to three quarters of the proof load (Shigley).
REUSED_SHARE: Final = 0.75
_THREAD: Final = re.compile(
    r"m\s*(\d+(?:[.,]\d+)?)(?:\s*[x×*-]\s*(\d+(?:[.,]\d+)?))?", re.IGNORECASE
)


class UnknownBolt(ValueError):
    """No such thread, class or lubricant is known here."""


class Thread(NamedTuple):
    """A metric thread: diameter and pitch in mm."""

    diameter_mm: float
    pitch_mm: float


class Tightening(NamedTuple):
    """What to pull a bolt to: its clamping force and the torque that makes it."""

    preload_n: float
    torque_nm: float


def read_thread(thread: str) -> Thread:
    """
    A metric thread as marked: M6, M5x0.8, M8x1. Without a pitch the coarse one counts.

    Raises UnknownBolt. Source of coarse pitches: ISO 261, in tables/threads.json.
    """
    found = _THREAD.fullmatch(thread.strip())
    if found is None:
        raise UnknownBolt(
            _("“{thread}” is not a metric thread: write it as in M5 or M8x1.").format(thread=thread)
        )
    diameter, pitch = (float(one.replace(",", ".")) if one else 0.0 for one in found.groups())
    coarse = _coarse(diameter)
    if not pitch and coarse is None:
        raise UnknownBolt(
            _("No coarse pitch is known for {thread}: write it too, as in M7x1.").format(
                thread=thread
            )
        )
    read = Thread(diameter, pitch or float(coarse["pitch_mm"] if coarse else 0))
    if not 0 < read.pitch_mm < read.diameter_mm / 2:
        raise UnknownBolt(
            _("{thread}: the pitch cannot be that of a bolt. Measure it again.").format(
                thread=thread
            )
        )
    return read


def _coarse(diameter_mm: float) -> Row | None:
    return next((row for row in table("threads") if row["diameter_mm"] == diameter_mm), None)


def stress_area(thread: str) -> float:
    """The cross-section that bears, in mm². Raises UnknownBolt. Source: ISO 898-1."""
    diameter, pitch = read_thread(thread)
    return math.pi / 4 * (diameter - _CORE * pitch) ** 2


def proof_load(thread: str, strength_class: str) -> float:
    """
    The pull in N that a bolt bears without lasting stretch.

    strength_class  as on its head, 8.8 or 10.9

    Coarse threads as ISO 898-1 lists them, others by stress area and proof stress.
    Raises UnknownBolt.
    """
    row = strength(strength_class)
    diameter, pitch = read_thread(thread)
    coarse = _coarse(diameter)
    if coarse is not None and coarse["pitch_mm"] == pitch:
        listed = coarse["proof_loads_n"].get(row["class"])
        if listed is not None:
            return float(listed)
    stress = row["proof_mpa"] if diameter <= row["up_to_mm"] else row["proof_mpa_above"]
    return stress_area(thread) * float(stress)


def strength(strength_class: str) -> Row:
    """The row of a strength class. Raises UnknownBolt, naming those that are known."""
    for row in table("bolt_classes"):
        if row["class"] == strength_class.strip():
            return row
    known = ", ".join(row["class"] for row in table("bolt_classes"))
    raise UnknownBolt(
        _("“{value}” is no strength class here: read it on the head, one of {known}.").format(
            value=strength_class, known=known
        )
    )


def lubricant(key: str) -> Row:
    """The row of a lubricant's torque factor K. Raises UnknownBolt."""
    try:
        return get_row("torque_factors", key)
    except KeyError as error:
        known = ", ".join(row["key"] for row in table("torque_factors"))
        raise UnknownBolt(
            _("“{value}” is no state of a thread here: use one of {known}.").format(
                value=key, known=known
            )
        ) from error


def torque_for_preload(*, k: float, preload_n: float, diameter_mm: float) -> float:
    """
    The torque in N·m that pulls a bolt with a force.

    k  torque factor, about 0.20 zinc-plated and dry, 0.15 greased, 0.12 with anti-seize

    Source: T = K F d, Shigley's Mechanical Engineering Design.
    """
    return k * preload_n * diameter_mm / 1000


def preload_to_proof(*, torque_nm: float, k: float, diameter_mm: float, proof_n: float) -> float:
    """The share of its proof load that a torque pulls a bolt to. Source: as torque_for_preload."""
    return torque_nm * 1000 / (k * diameter_mm) / proof_n


def tightening(*, thread: str, strength_class: str, condition: str) -> Tightening:
    """
    What to pull a bolt to that is opened again at a later service.

    condition  of thread and head, a key of tables/torque_factors.json

    Raises UnknownBolt. Source: three quarters of the proof load, Shigley.
    """
    preload = REUSED_SHARE * proof_load(thread, strength_class)
    factor, diameter = lubricant(condition)["k"], read_thread(thread).diameter_mm
    return Tightening(
        preload, torque_for_preload(k=factor, preload_n=preload, diameter_mm=diameter)
    )


def torque_with_lubricant(*, torque_nm: float, told_for: str, condition: str) -> float:
    """
    The torque that pulls as hard with another lubricant as the told one did with its own.

    told_for, condition  keys of tables/torque_factors.json

    Raises UnknownBolt.
    """
    return torque_nm * float(lubricant(condition)["k"]) / float(lubricant(told_for)["k"])
