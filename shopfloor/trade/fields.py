"""The traits of a bike as a form asks for them, and the values that each may have."""

from typing import Any, Final, NamedTuple

from shopfloor.words import gettext_noop


class Field(NamedTuple):
    """One trait as a form may ask for it; an optional one stays unknown when not given."""

    key: str
    label: str
    options: tuple[tuple[Any, str], ...]
    optional: bool = False


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
        "built_for",
        gettext_noop("Made for"),
        (
            ("rider", gettext_noop("One rider")),
            ("cargo", gettext_noop("Loads or children")),
            ("child", gettext_noop("A child")),
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
    Field("dropper", gettext_noop("Dropper post"), YES_NO),
    Field("tubeless", gettext_noop("Tubeless tyres"), YES_NO),
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
