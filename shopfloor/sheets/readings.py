"""
Every reading, torque and look of a job as rows: found, left, limit, verdict, by whom, with what.

Takes the route, its progress and the folded state; knows no database. A value that no step asks
for any more still gets its row: nothing that was measured is dropped.
"""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from shopfloor.journal.asks import AskProgress, JudgedHead
from shopfloor.journal.judging import marked
from shopfloor.journal.progress import Progress
from shopfloor.journal.state import JobState
from shopfloor.sheets import words
from shopfloor.sheets.scales import on_scale_of, scale_of
from shopfloor.words import gettext as _
from shopfloor.words import gettext_noop

GONE = gettext_noop("somebody who has left")
Row = dict[str, Any]
Value = dict[str, Any]
Step = Mapping[str, Any]
Ask = Mapping[str, Any]


@dataclass(frozen=True)
class Names:
    """How the sheet calls people, instruments and moments, and which entries came late."""

    people: Mapping[str, str]
    instruments: Mapping[str, str]
    moment: Callable[[str], str]
    late: frozenset[str] = frozenset()

    def person(self, key: str) -> str:
        """A name, also for somebody who is no longer here."""
        return self.people.get(key, _(GONE))


PARTS = [
    ("reading", gettext_noop("Readings"), gettext_noop("Left")),
    ("torque", gettext_noop("Torques"), gettext_noop("Left at")),
    ("choice", gettext_noop("Looked at and felt"), gettext_noop("Left")),
]


def measured_parts(every: Sequence[Row]) -> list[dict[str, Any]]:
    """The rows as the sheet's tables; what all rows of a table share is said once, above it."""
    parts = []
    for kind, title, left in PARTS:
        own = [row for row in every if row["kind"] == kind]
        if own:
            mark, by = _shared(own, "mark", ""), _shared(own, "made_by", [])
            shown = [_without(row, mark=mark, by=by) for row in own]
            head = {"kind": kind, "title": _(title), "left": _(left), "mark": mark, "made_by": by}
            parts.append(head | {"rows": shown})
    return parts


def _shared(own: Sequence[Row], name: str, nothing: Any) -> Any:
    """What every row says alike, if there is more than one row."""
    same = len(own) > 1 and all(row[name] == own[0][name] for row in own)
    return own[0][name] if same else nothing


def _without(row: Row, *, mark: str, by: Sequence[str]) -> Row:
    return row | ({"mark": ""} if mark else {}) | ({"made_by": []} if by else {})


def rows(route: Sequence[Step], state: JobState, done: Progress, names: Names) -> list[Row]:
    """One row for each thing that has a value, in the order of the route."""
    asked = [
        _row(step, ask, done["steps"][step["key"]]["asks"], names)
        for step in route
        for ask in step["asks"]
        if ask["kind"] != "photo"
    ]
    known = {ask["place"] for step in done["steps"].values() for ask in step["asks"]}
    every = [*asked, *_unasked(state, known, names)]
    return _told_apart([row for row in every if row["found"] or row["left"]])


def _told_apart(every: list[Row]) -> list[Row]:
    """Two rows of one name, such as the run-out of both wheels, are told apart by their step."""
    times = Counter((row["kind"], row["what"]) for row in every)
    return [
        row | {"what": f"{row['step']}: {row['what']}"}
        if times[row["kind"], row["what"]] > 1
        else row
        for row in every
    ]


def worn(every: Sequence[Row], done: Progress) -> list[Row]:
    """What the rider should know of: verdicts that stand, and what is to be watched."""
    standing = {(one["step"], one["item"]) for one in done["standing"]}
    mended = {row["clears"] for row in every if row["left"] and row["verdict"] == "sound"}
    return [
        row
        for row in every
        if (row["key"], row["item"]) in standing
        or (row["verdict"] == "watch" and (row["key"], row["item"]) not in mended)
    ]


def _row(step: Step, ask: Ask, asks: Sequence[AskProgress], names: Names) -> Row:
    phases = {one["phase"]: one for one in asks if one["item"] == ask["item"]}
    values = {
        phase: [_value(head, ask, names) for head in one["heads"]] for phase, one in phases.items()
    }
    ask = marked(ask, [head for one in phases.values() for head in one["heads"]])
    found, left = values.get("found", []), values.get("left", [])
    last = phases["left" if left else "found"] if found or left else None
    clears = ask.get("clears") or {}
    return {
        "key": step["key"],
        "step": step["title"],
        "item": ask["item"],
        "clears": (clears.get("step"), clears.get("item")),
        "kind": ask["kind"],
        "what": ask["label"],
        "limit": "" if ask["kind"] == "choice" else words.limit(ask),
        "mark": ask.get("mark") or "",
        "found": found,
        "left": left,
        "made_by": _made_by([*found, *left]),
        "scale": scale_of(ask, _drawn(found), _drawn(left)),
        "verdict": last["verdict"] if last else "",
        "why": last["why"] if last else "",
        "torn": any(len({value["shown"] for value in shown}) > 1 for shown in values.values()),
    }


def _value(head: JudgedHead, ask: Ask, names: Names) -> Value:
    body = head["body"]
    instrument = body.get("instrument")
    drawn = on_scale_of(ask, body)
    return {
        "shown": _shown(ask, body, drawn),
        "loose": bool(body.get("loose")),
        "drawn": drawn,
        "by": names.person(head["by"]),
        "instrument": names.instruments.get(str(instrument), "") if instrument else "",
        "late": head["id"] in names.late,
    }


def _shown(ask: Ask, body: Mapping[str, Any], drawn: float | None) -> str:
    if ask["kind"] == "choice":
        labels = {choice["value"]: choice["label"] for choice in ask.get("choices") or []}
        return str(labels.get(body.get("value"), body.get("value")))
    return words.amount(body.get("value"), body.get("unit") or "", drawn, ask.get("unit") or "")


def _drawn(values: Sequence[Value]) -> list[float]:
    return [value["drawn"] for value in values if value["drawn"] is not None]


def _made_by(values: Sequence[Value]) -> list[str]:
    """Who measured, each once, with all the instruments they used."""
    tools: dict[str, list[str]] = {}
    for value in values:
        used = tools.setdefault(value["by"], [])
        if value["instrument"] and value["instrument"] not in used:
            used.append(value["instrument"])
    return [", ".join([person, *used]) for person, used in tools.items()]


def _unasked(state: JobState, known: set[str], names: Names) -> Iterator[Row]:
    """Values for items that are in no step: of an older app, or of a step that was taken out."""
    for place, heads in state["places"].items():
        if not place.startswith("ask:") or place in known:
            continue
        body = heads[0]["body"]
        kind = "choice" if heads[0]["kind"] == "choice" else "reading"
        label = str(body["item"]).replace("-", " ").replace("_", " ").capitalize()
        ask = {"item": body["item"], "kind": kind, "label": label, "unit": body.get("unit")}
        one: AskProgress = {
            "item": body["item"],
            "phase": body["phase"],
            "place": place,
            "required": False,
            "settled": place not in state["conflicts"],
            "heads": [{**head, "verdict": "", "why": ""} for head in heads],
            "verdict": "",
            "why": "",
        }
        step = {"key": body["step"], "title": str(body["step"]).replace("_", " ").capitalize()}
        yield _row(step, ask, [one], names)
