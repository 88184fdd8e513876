"""
How do the case files of the journal read?

A case states what differs from an empty job, and names entries by their ids. See also
frontend/src/journal/cases.test-helper.ts.
"""

import json
from pathlib import Path
from typing import Any

from shopfloor.journal.entry import Entry, parse_entry

FOLDER = Path(__file__).parents[2] / "fixtures" / "cases" / "journal"

EMPTY: dict[str, Any] = {
    "place": "booked",
    "opened": None,
    "places": {},
    "conflicts": [],
    "notes": [],
    "photos": [],
    "findings": [],
    "added": [],
    "answers": {},
    "asking": [],
    "parts": [],
    "hands": [],
    "ready_at": None,
    "released": None,
    "collected": False,
    "cancelled": False,
}


def load_cases(name: str) -> list[dict[str, Any]]:
    cases: list[dict[str, Any]] = json.loads((FOLDER / f"{name}.json").read_text("utf-8"))
    return cases


def parse_all(raw: list[dict[str, Any]]) -> list[Entry]:
    return [parse_entry(one) for one in raw]


def expected_state(case: dict[str, Any]) -> dict[str, Any]:
    """The whole state, from the ids a case names and the bodies of its entries."""
    told = dict(case["expected"])
    bodies = told.pop("bodies", {})
    by_id = {one["id"].lower(): one for one in case["entries"]}

    def row(entry_id: str) -> dict[str, Any]:
        entry = by_id[entry_id]
        body = bodies.get(entry_id, entry["body"])
        return {"id": entry_id, "by": entry["by"], "at": entry["at"], "body": body}

    def head(entry_id: str) -> dict[str, Any]:
        return {**row(entry_id), "kind": by_id[entry_id]["kind"]}

    told["places"] = {
        place: [head(one) for one in ids] for place, ids in told.get("places", {}).items()
    }
    for name in ("notes", "photos", "findings"):
        told[name] = [row(one) for one in told.get(name, [])]
    return {**EMPTY, **told}
