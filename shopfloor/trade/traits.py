"""
What about a bike decides its route: kind, brakes, gears and the like, with what is usual.

Says nothing about steps; tables name traits in their “when”.
"""

from collections.abc import Mapping, Sequence
from typing import Any, Final

from shopfloor.trade.fields import FIELDS
from shopfloor.words import gettext as _

Traits = dict[str, Any]
Condition = Mapping[str, Sequence[Any]]


class UnknownTrait(ValueError):
    """A trait has a value that no bike here has."""


ONLY_WITH: Final[Mapping[str, tuple[str, Any]]] = {
    "hydraulic": ("brakes", "disc"),
    "front_mech": ("gears", "derailleur"),
    "sprockets": ("gears", "derailleur"),
    "rim_brake": ("brakes", "rim"),
    "caliper_mount": ("brakes", "disc"),
    "rotor": ("brakes", "disc"),
    "bottom_bracket_cup": ("bottom_bracket", "threaded"),
    "pad_axle": ("brakes", "disc"),
    "rack_bolt": ("rack", True),
}

_COMMON: Final[Traits] = {
    "hydraulic": False,
    "front_mech": False,
    "bottom_bracket": "threaded",
    "steering": "threadless",
    "built_for": "rider",
    "suspension": False,
    "dropper": False,
    "tubeless": False,
    "carbon": False,
    "rack": False,
    "bars": "flat",
    "rim_brake": "arms",
    "caliper_mount": "post",
}
_BY_KIND: Final[Mapping[str, Traits]] = {
    "road": {
        "brakes": "rim",
        "gears": "derailleur",
        "front_mech": True,
        "sprockets": 11,
        "axle": "quick-release",
        "bars": "drop",
        "rim_brake": "caliper",
        "caliper_mount": "flat",
    },
    "mtb": {
        "brakes": "disc",
        "hydraulic": True,
        "gears": "derailleur",
        "sprockets": 12,
        "axle": "thru-axle",
        "suspension": True,
    },
    "city": {
        "brakes": "drum",
        "gears": "hub",
        "sprockets": 1,
        "steering": "quill",
        "axle": "nutted",
        "rack": True,
    },
    # An e-bike of which nothing is said about gears gets no gear steps that may not fit.
    "ebike": {
        "brakes": "disc",
        "hydraulic": True,
        "gears": "single",
        "sprockets": 1,
        "bottom_bracket": "motor",
        "axle": "thru-axle",
        "suspension": True,
        "rack": True,
    },
}


def told() -> str:
    """All that is said here of bikes, as one text: the same as long as nothing has changed."""
    return repr((FIELDS, ONLY_WITH, _COMMON, _BY_KIND))


def fill_defaults(traits: Mapping[str, Any]) -> Traits:
    """
    The traits with every missing one set to what is usual for the kind.

    Optional traits stay missing: nothing is assumed about them. Raises UnknownTrait.
    """
    check_traits(traits)
    given = {key: value for key, value in traits.items() if value is not None}
    return {**_COMMON, **_BY_KIND[traits["kind"]], **given}


def usual_traits(kind: str) -> Traits:
    """What a form may offer first for a kind: as fill_defaults, with the gears most often seen."""
    usual = fill_defaults({"kind": kind})
    if kind == "ebike":
        usual |= {"gears": "derailleur", "sprockets": 10}
    return usual


def check_traits(traits: Mapping[str, Any]) -> None:
    """Raises UnknownTrait, naming the trait and the values it may have. Other keys are let be."""
    if traits.get("kind") is None:
        raise UnknownTrait(_("Say which kind of bike it is: road, mtb, city or ebike."))
    for field in FIELDS:
        value = traits.get(field.key)
        allowed = [option for option, _label in field.options]
        if value is not None and not _is_one_of(value, allowed):
            names = ", ".join(str(option) for option in allowed)
            raise UnknownTrait(
                _("{label}: “{value}” is not known; use one of {names}.").format(
                    label=_(field.label), value=value, names=names
                )
            )


def _is_one_of(value: Any, allowed: Sequence[Any]) -> bool:
    return any(type(value) is type(option) and value == option for option in allowed)


def matches(when: Sequence[Condition] | None, traits: Mapping[str, Any]) -> bool:
    """
    Whether a bike with these traits is meant.

    when  alternatives, each a trait with its allowed values; None means every bike.
          An optional trait nothing is known about fits every value.
    """
    return when is None or any(
        all(key not in traits or traits[key] in allowed for key, allowed in condition.items())
        for condition in when
    )
