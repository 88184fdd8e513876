"""
What about a bike decides its route: kind, brakes, gears and the like, with what is usual.

Says nothing about steps; tables name traits in their “when”.
"""

from collections.abc import Mapping, Sequence
from typing import Any, Final, NamedTuple

Traits = dict[str, Any]
Condition = Mapping[str, Sequence[Any]]


class Field(NamedTuple):
    """One trait as a form may ask for it; an optional one stays unknown when not given."""

    key: str
    label: str
    options: tuple[tuple[Any, str], ...]
    optional: bool = False


class UnknownTrait(ValueError):
    """A trait has a value that no bike here has."""


YES_NO: Final = ((True, "yes"), (False, "no"))

FIELDS: Final[tuple[Field, ...]] = (
    Field(
        "kind",
        "Kind of bike",
        (
            ("road", "Road bike"),
            ("mtb", "Mountain bike"),
            ("city", "City bike"),
            ("ebike", "E-bike"),
        ),
    ),
    Field(
        "brakes",
        "Brakes",
        (("rim", "Rim"), ("disc", "Disc"), ("drum", "Drum or roller"), ("coaster", "Coaster")),
    ),
    Field("hydraulic", "Hydraulic brakes", YES_NO),
    Field(
        "gears", "Gears", (("derailleur", "Derailleur"), ("hub", "Hub gear"), ("single", "Single"))
    ),
    Field("front_mech", "Front mech", YES_NO),
    Field("sprockets", "Sprockets at the rear", tuple((n, str(n)) for n in range(1, 15))),
    Field(
        "bottom_bracket",
        "Bottom bracket",
        (("threaded", "Threaded"), ("press-fit", "Press-fit"), ("motor", "Motor")),
    ),
    Field("steering", "Stem", (("threadless", "Clamped on the steerer"), ("quill", "Quill"))),
    Field(
        "axle",
        "Wheel axles",
        (("quick-release", "Quick release"), ("thru-axle", "Thru axle"), ("nutted", "Nuts")),
    ),
    Field("suspension", "Suspension", YES_NO),
    Field("carbon", "Carbon parts", YES_NO),
    Field("rack", "Rack", YES_NO),
    Field("bars", "Handlebar", (("drop", "Drop"), ("flat", "Flat or swept"))),
    Field("rim_brake", "Rim brakes are", (("caliper", "Calipers"), ("arms", "Arms on bosses"))),
    Field("caliper_mount", "Disc calipers sit on", (("flat", "Flat mount"), ("post", "Posts"))),
    Field("rotor", "Rotors", (("six-bolt", "Six bolts"), ("lockring", "Lockring")), optional=True),
    Field(
        "saddle_clamp",
        "Saddle clamp",
        (
            ("one-m8", "One M8 bolt"),
            ("one-m6", "One M6 bolt"),
            ("two-m6", "Two M6 bolts"),
            ("two-m5", "Two M5 bolts"),
        ),
        optional=True,
    ),
    Field(
        "crank",
        "Cranks",
        (
            ("two-pinch", "Two pinch bolts"),
            ("one-bolt", "One bolt, self-extracting"),
            ("square-taper", "Square taper"),
            ("splined", "Large spline"),
            ("cottered", "Cotter pins"),
        ),
        optional=True,
    ),
    Field(
        "bottom_bracket_cup",
        "Threaded bottom bracket",
        (
            ("external", "External cups"),
            ("cartridge", "Cartridge"),
            ("loose-ball", "Cup and cone"),
        ),
        optional=True,
    ),
    Field("pad_axle", "Pad pins", (("hex", "Hex or star"), ("slotted", "Slotted")), optional=True),
    Field("rack_bolt", "Rack bolts", (("m5", "M5"), ("m6", "M6")), optional=True),
)
KINDS: Final[tuple[str, ...]] = tuple(value for value, _ in FIELDS[0].options)

_COMMON: Final[Traits] = {
    "hydraulic": False,
    "front_mech": False,
    "bottom_bracket": "threaded",
    "steering": "threadless",
    "suspension": False,
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
        raise UnknownTrait("Say which kind of bike it is: road, mtb, city or ebike.")
    for field in FIELDS:
        value = traits.get(field.key)
        allowed = [option for option, _ in field.options]
        if value is not None and not _is_one_of(value, allowed):
            names = ", ".join(str(option) for option in allowed)
            raise UnknownTrait(f"{field.label}: “{value}” is not known; use one of {names}.")


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
