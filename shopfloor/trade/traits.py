"""
What about a bike decides its route: kind, brakes, gears and the like, with what is usual.

Says nothing about steps; tables name traits in their “when”.
"""

from collections.abc import Mapping, Sequence
from typing import Any, Final, NamedTuple

from shopfloor.words import gettext as _
from shopfloor.words import gettext_noop

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


YES_NO: Final = ((True, gettext_noop("yes")), (False, gettext_noop("no")))

FIELDS: Final[tuple[Field, ...]] = (
    Field(
        "kind",
        gettext_noop("Kind of bike"),
        (
            ("road", gettext_noop("Road bike")),
            ("mtb", gettext_noop("Mountain bike")),
            ("city", gettext_noop("City bike")),
            ("ebike", gettext_noop("E-bike")),
        ),
    ),
    Field(
        "brakes",
        gettext_noop("Brakes"),
        (
            ("rim", gettext_noop("Rim")),
            ("disc", gettext_noop("Disc")),
            ("drum", gettext_noop("Drum or roller")),
            ("coaster", gettext_noop("Coaster")),
        ),
    ),
    Field("hydraulic", gettext_noop("Hydraulic brakes"), YES_NO),
    Field(
        "gears",
        gettext_noop("Gears"),
        (
            ("derailleur", gettext_noop("Derailleur")),
            ("hub", gettext_noop("Hub gear")),
            ("single", gettext_noop("Single")),
        ),
    ),
    Field("front_mech", gettext_noop("Front mech"), YES_NO),
    Field(
        "sprockets", gettext_noop("Sprockets at the rear"), tuple((n, str(n)) for n in range(1, 15))
    ),
    Field(
        "bottom_bracket",
        gettext_noop("Bottom bracket"),
        (
            ("threaded", gettext_noop("Threaded")),
            ("press-fit", gettext_noop("Press-fit")),
            ("motor", gettext_noop("Motor")),
        ),
    ),
    Field(
        "steering",
        gettext_noop("Stem"),
        (("threadless", gettext_noop("Clamped on the steerer")), ("quill", gettext_noop("Quill"))),
    ),
    Field(
        "axle",
        gettext_noop("Wheel axles"),
        (
            ("quick-release", gettext_noop("Quick release")),
            ("thru-axle", gettext_noop("Thru axle")),
            ("nutted", gettext_noop("Nuts")),
        ),
    ),
    Field("suspension", gettext_noop("Suspension"), YES_NO),
    Field("carbon", gettext_noop("Carbon parts"), YES_NO),
    Field("rack", gettext_noop("Rack"), YES_NO),
    Field(
        "bars",
        gettext_noop("Handlebar"),
        (("drop", gettext_noop("Drop")), ("flat", gettext_noop("Flat or swept"))),
    ),
    Field(
        "rim_brake",
        gettext_noop("Rim brakes are"),
        (("caliper", gettext_noop("Calipers")), ("arms", gettext_noop("Arms on bosses"))),
    ),
    Field(
        "caliper_mount",
        gettext_noop("Disc calipers sit on"),
        (("flat", gettext_noop("Flat mount")), ("post", gettext_noop("Posts"))),
    ),
    Field(
        "rotor",
        gettext_noop("Rotors"),
        (("six-bolt", gettext_noop("Six bolts")), ("lockring", gettext_noop("Lockring"))),
        optional=True,
    ),
    Field(
        "saddle_clamp",
        gettext_noop("Saddle clamp"),
        (
            ("one-m8", gettext_noop("One M8 bolt")),
            ("one-m6", gettext_noop("One M6 bolt")),
            ("two-m6", gettext_noop("Two M6 bolts")),
            ("two-m5", gettext_noop("Two M5 bolts")),
        ),
        optional=True,
    ),
    Field(
        "crank",
        gettext_noop("Cranks"),
        (
            ("two-pinch", gettext_noop("Two pinch bolts")),
            ("one-bolt", gettext_noop("One bolt, self-extracting")),
            ("square-taper", gettext_noop("Square taper")),
            ("splined", gettext_noop("Large spline")),
            ("cottered", gettext_noop("Cotter pins")),
        ),
        optional=True,
    ),
    Field(
        "bottom_bracket_cup",
        gettext_noop("Threaded bottom bracket"),
        (
            ("external", gettext_noop("External cups")),
            ("cartridge", gettext_noop("Cartridge")),
            ("loose-ball", gettext_noop("Cup and cone")),
        ),
        optional=True,
    ),
    Field(
        "pad_axle",
        gettext_noop("Pad pins"),
        (("hex", gettext_noop("Hex or star")), ("slotted", gettext_noop("Slotted"))),
        optional=True,
    ),
    Field(
        "rack_bolt",
        gettext_noop("Rack bolts"),
        (("m5", gettext_noop("M5")), ("m6", gettext_noop("M6"))),
        optional=True,
    ),
)
KINDS: Final[tuple[str, ...]] = tuple(value for value, _label in FIELDS[0].options)
# A trait that means something only where another one has this value.
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
