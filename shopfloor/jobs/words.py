"""What stages, services and places are called on the pages of the desk."""

from shopfloor.trade.route import SERVICES

STAGES = {
    "intake": "Take in",
    "measure": "Measure",
    "strip": "Strip",
    "clean": "Clean",
    "inspect": "Inspect",
    "bearings": "Bearings",
    "wheels": "Wheels",
    "assemble": "Assemble",
    "drive": "Drive",
    "brakes": "Brakes",
    "shift": "Shifting",
    "final": "Final check",
    "handover": "Hand over",
}


def stage_in_words(stage: str | None) -> str:
    """A stage's title; a stage of a later version under its own name."""
    return STAGES.get(stage, stage.capitalize()) if stage else ""


def service_in_words(service: str) -> str:
    return SERVICES.get(service, service)
