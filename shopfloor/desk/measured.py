"""Every reading, torque and look of a job as rows: found, left, limit, verdict, by whom."""

from collections.abc import Mapping
from typing import Any

from shopfloor.desk import words
from shopfloor.desk.folded import Folded
from shopfloor.desk.words import Names
from shopfloor.journal.judging import marked

Row = dict[str, Any]
PHASES = ("found", "left")


def measured(folded: Folded, *, only: tuple[str, str] | None = None) -> list[Row]:
    """Every reading, torque and choice with a value: found, left, limit, verdict, who."""
    rows = []
    for step in folded.route:
        asks = folded.progress["steps"][step["key"]]["asks"]
        for ask in step.get("asks") or ():
            wanted = only is None or only == (step["key"], ask["item"])
            if ask["kind"] == "photo" or not wanted:
                continue
            phases = {one["phase"]: one for one in asks if one["item"] == ask["item"]}
            row = _measured_row(step, ask, phases, folded.names)
            if row["found"] or row["left"]:
                rows.append(row)
    return rows


def _measured_row(
    step: Mapping[str, Any], ask: Mapping[str, Any], phases: Mapping[str, Any], names: Names
) -> Row:
    heads = {phase: phases[phase]["heads"] if phase in phases else [] for phase in PHASES}
    ask = marked(ask, [*heads["left"], *heads["found"]])
    last = "left" if heads["left"] else "found"
    who = {names.person(head["by"]): None for phase in PHASES for head in heads[phase]}
    return {
        "what": ask["label"],
        "step": step["title"],
        "found": [_shown(ask, head) for head in heads["found"]],
        "left": [_shown(ask, head) for head in heads["left"]],
        "limit": words.limit(ask),
        "verdict": phases[last]["verdict"] if last in phases else "",
        "why": phases[last]["why"] if last in phases else "",
        "who": ", ".join(who),
    }


def _shown(ask: Mapping[str, Any], head: Mapping[str, Any]) -> str:
    body = head["body"]
    return words.choice(ask, body["value"]) if head["kind"] == "choice" else words.amount(body)
