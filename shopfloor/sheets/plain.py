"""
What was done, as one says it to a customer: by part of the bike, in plain words.

A step that means nothing to a customer, such as taking the wheels out, is not told; one that has
no words here is told by its title.
"""

from collections.abc import Iterable, Mapping
from typing import Any

from shopfloor.words import gettext as _
from shopfloor.words import gettext_noop

# In the order of the sheet.
AREAS = {
    "look": gettext_noop("Looked over"),
    "clean": gettext_noop("Cleaned"),
    "bearings": gettext_noop("Bearings and fork"),
    "wheels": gettext_noop("Wheels and tyres"),
    "steering": gettext_noop("Steering and saddle"),
    "drive": gettext_noop("Drive and gears"),
    "brakes": gettext_noop("Brakes"),
    "last": gettext_noop("At the end"),
}
# Where the steps of a stage belong that have no words of their own.
AREA_OF_STAGE = {
    "intake": "look",
    "measure": "look",
    "inspect": "look",
    "clean": "clean",
    "bearings": "bearings",
    "wheels": "wheels",
    "assemble": "steering",
    "strip": "drive",
    "drive": "drive",
    "shift": "drive",
    "brakes": "brakes",
}
NOT_TOLD = frozenset(
    {
        "identify",
        "batt_off",
        "quote",
        "strip_wheels",
        "strip_chain_cassette",
        "strip_drive",
        "strip_cables",
        "strip_fork",
        "rinse_dry_parts",
        "batt_on",
        "bgap",
        "release",
    }
)
SAID: Mapping[str, tuple[str, str]] = {
    "quick_check": ("look", gettext_noop("the whole bike on arrival")),
    "test_ride_in": ("look", gettext_noop("a short ride to hear and feel what is wrong")),
    "measure_chain": ("look", gettext_noop("the chain measured for wear")),
    "measure_brakes": ("look", gettext_noop("the brakes measured for wear")),
    "measure_bearings": ("look", gettext_noop("every bearing felt for play and roughness")),
    "record_setup": ("look", gettext_noop("your own set-up noted, so that it came back as it was")),
    "inspect_frame": ("look", gettext_noop("frame and fork for cracks and dents")),
    "inspect_steerer": ("look", gettext_noop("the fork's steerer")),
    "inspect_cockpit": ("look", gettext_noop("handlebar, stem, seat post and saddle for cracks")),
    "inspect_cargo": ("look", gettext_noop("platform, box, rails and seats that carry the load")),
    "wash_frame": ("clean", gettext_noop("the bike washed")),
    "ultrasonic": ("clean", gettext_noop("bare metal parts in the ultrasonic bath")),
    "rinse_dry": ("clean", gettext_noop("rinsed and dried")),
    "prep_frame": ("bearings", gettext_noop("seats and threads of the frame cut true")),
    "svc_headset": ("bearings", gettext_noop("headset cleaned, greased and set without play")),
    "svc_bb": ("bearings", gettext_noop("bottom bracket cleaned, greased and set without play")),
    "svc_hubs": ("bearings", gettext_noop("hubs cleaned, greased and set without play")),
    "svc_hubgear": ("bearings", gettext_noop("hub gear serviced inside")),
    "svc_pedals": ("bearings", gettext_noop("pedals cleaned, greased and set without play")),
    "susp_lowers": ("bearings", gettext_noop("lower legs of the fork serviced")),
    "true_front": ("wheels", gettext_noop("front wheel trued")),
    "true_rear": ("wheels", gettext_noop("rear wheel trued")),
    "tyres": ("wheels", gettext_noop("tyres fitted and pumped up")),
    "sealant": ("wheels", gettext_noop("sealant renewed")),
    "wheels_in": ("wheels", gettext_noop("both wheels seated and clamped")),
    "wheels_in_hub": ("wheels", gettext_noop("rear wheel seated with its washers and tightened")),
    "fit_fork": ("steering", gettext_noop("fork fitted")),
    "clamp_stem": ("steering", gettext_noop("stem straight and clamped")),
    "bars": ("steering", gettext_noop("handlebar and levers set and clamped")),
    "post_saddle": ("steering", gettext_noop("seat post and saddle back at your height")),
    "dropper": ("steering", gettext_noop("dropper post cleaned and set")),
    "align_hanger": ("drive", gettext_noop("the rear mech's hanger set straight")),
    "cassette": ("drive", gettext_noop("sprockets fitted")),
    "crank_fit": ("drive", gettext_noop("cranks fitted")),
    "pedals_fit": ("drive", gettext_noop("pedals fitted")),
    "mech_fit": ("drive", gettext_noop("front and rear mech fitted")),
    "chain_fit": ("drive", gettext_noop("chain fitted")),
    "chain_fit_hub": ("drive", gettext_noop("chain fitted and tensioned")),
    "cables_ebike": ("drive", gettext_noop("gear cable renewed")),
    "limits": ("drive", gettext_noop("stops set, so that the chain stays on the sprockets")),
    "index_rear": ("drive", gettext_noop("rear gears set")),
    "index_front": ("drive", gettext_noop("front gears set")),
    "index_hub": ("drive", gettext_noop("hub gear set to its marks")),
    "ebike_sys": ("drive", gettext_noop("electric drive looked over")),
    "rotor_fit": ("brakes", gettext_noop("rotors fitted and straight")),
    "caliper_align": ("brakes", gettext_noop("calipers in line with the rotors")),
    "bleed": ("brakes", gettext_noop("brakes bled")),
    "pads_in": ("brakes", gettext_noop("pads fitted")),
    "rim_brakes": ("brakes", gettext_noop("rim brakes set")),
    "hub_brakes": ("brakes", gettext_noop("hub brakes set")),
    "cables": ("brakes", gettext_noop("cables and housings renewed")),
    "bed_in": ("brakes", gettext_noop("disc brakes bedded in")),
    "accessories": ("last", gettext_noop("lights, bell, reflectors and rack checked")),
    "child_fit": ("last", gettext_noop("levers and saddle set for the child")),
    "final_torque": ("last", gettext_noop("bolts tightened in order, by the torque table")),
    "final_check": ("last", gettext_noop("the whole bike checked")),
    "road_test": ("last", gettext_noop("test ridden")),
    "recheck": ("last", gettext_noop("checked again after the ride")),
    "second_person": ("last", gettext_noop("looked over by a second person")),
}


def in_plain_words(steps: Iterable[Mapping[str, Any]]) -> list[dict[str, str]]:
    """Done steps as `{"area", "text"}`, an area at most once, areas and steps in working order."""
    told: dict[str, list[str]] = {area: [] for area in AREAS}
    for step in steps:
        if step["key"] in NOT_TOLD:
            continue
        usual = (AREA_OF_STAGE.get(step["stage"], "last"), step["title"])
        area, text = SAID.get(step["key"], usual)
        told[area].append(_(text) if step["key"] in SAID else text)
    return [
        {"area": _(AREAS[area]), "text": ", ".join(texts)} for area, texts in told.items() if texts
    ]
