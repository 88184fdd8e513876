"""Short routes for tests that are not about the route."""

from typing import Any


def make_step(key: str, **facts: Any) -> dict[str, Any]:
    """A step that is ticked."""
    usual = {
        "stage": "intake",
        "title": key.replace("_", " ").capitalize(),
        "how": "",
        "why": "",
        "kind": "work",
        "after": [],
        "minutes": {"low": 5, "typical": 10, "high": 20},
        "compound": None,
        "bath": None,
        "safety": False,
        "cautions": [],
        "points": [],
        "source": "a test",
        "source_kind": "memory",
        "asks": [],
    }
    return {"key": key} | usual | facts


def pad_ask(**facts: Any) -> dict[str, Any]:
    """A pad of which 0.5 mm must be left."""
    usual = {
        "item": "front-pad",
        "kind": "reading",
        "label": "Front pad",
        "phases": ["found", "left"],
        "required": ["found"],
        "unit": "mm",
        "rule": {"type": "minimum", "renew": 0.5, "watch": 1.0},
        "scale": [0, 4],
        "safety": True,
        "uncertainty": None,
        "also": None,
        "choices": [],
        "mark": None,
        "note": None,
        "source": "a test",
        "source_kind": "memory",
    }
    return usual | facts


def short_route() -> list[dict[str, Any]]:
    """Identify, measure the brakes, final check, second person."""
    return [
        make_step("identify"),
        make_step("measure_brakes", stage="measure", safety=True, asks=[pad_ask()]),
        make_step("final_check", stage="final", safety=True),
        make_step(
            "second_person", stage="final", kind="check", safety=True, checks=["final_check"]
        ),
    ]
