"""
Every reading, torque and look of a job as rows: found, left, limit, verdict, by whom, with what.

Takes the route, its progress and the folded state; knows no database. A value that no step asks
for any more still gets its row: nothing that was measured is dropped.
"""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from shopfloor.bikes.values import in_unit_of
from shopfloor.journal.asks import AskProgress, JudgedHead
from shopfloor.journal.judging import marked
from shopfloor.journal.progress import Progress
from shopfloor.journal.state import JobState
from shopfloor.sheets import words
from shopfloor.sheets.scales import scale_of
from shopfloor.trade.calculators.sources import KINDS, MARK_FIRST
from shopfloor.words import gettext as _
from shopfloor.words import gettext_noop

GONE = gettext_noop("somebody who has left")
MARKED = gettext_noop("marked on the part")
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
    """
    The rows as the sheet's tables; what all rows of a table share is said once, above it, and
    what was looked at and is sound is a sentence.
    """
    parts = []
    for kind, title, left in PARTS:
        own = [row for row in every if row["kind"] == kind]
        if own:
            shared = _shared(own)
            silent = {name: type(said)() for name, said in shared.items() if said}
            parts.append(
                {
                    "kind": kind,
                    "title": _(title),
                    "left": _(left),
                    **shared,
                    "sound": [_in_a_word(row) for row in own if not _needs_a_row(row)],
                    "rows": [row | silent for row in own if _needs_a_row(row)],
                }
            )
    return parts


def _needs_a_row(row: Row) -> bool:
    """A look that found nothing is told in a word."""
    values = [*row["found"], *row["left"]]
    is_plain = row["verdict"] == "sound" and not row["torn"] and not any(v["late"] for v in values)
    return row["kind"] != "choice" or not is_plain


def _in_a_word(row: Row) -> str:
    shown = (row["left"] or row["found"])[0]["shown"]
    # “DOT” stays as it is written.
    is_word = shown[1:2].islower() or shown[1:2] == ","
    return f"{row['what']}: {shown[:1].lower() if is_word else shown[:1]}{shown[1:]}"


def _shared(own: Sequence[Row]) -> dict[str, Any]:
    """What is said once, above a table: which mark comes first, whence the ranges, who measured."""
    marks = {row["mark"]: None for row in own if row["mark"]}
    sources = {row["source"] for row in own if row["source"]}
    same = len(own) > 1 and all(row["made_by"] == own[0]["made_by"] for row in own)
    return {
        "mark": "" if not marks else next(iter(marks)) if len(marks) == 1 else _(MARK_FIRST),
        "source": sources.pop() if len(sources) == 1 else "",
        "made_by": own[0]["made_by"] if same else [],
    }


def _source(ask: Ask) -> str:
    """Where the allowed range is from, in a word or two; without a range there is none."""
    if ask.get("marked"):
        return _(MARKED)
    if not ask.get("rule"):
        return ""
    kind = str(ask.get("source_kind") or "")
    is_named = kind in ("standard", "handbook", "dataset")
    return str(ask.get("source") or "") if is_named else _(KINDS.get(kind, kind))


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
        "source": "" if ask["kind"] == "choice" else _source(ask),
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
    drawn = in_unit_of(ask, body)
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
            "stale": False,
            "heads": [{**head, "verdict": "", "why": ""} for head in heads],
            "verdict": "",
            "why": "",
        }
        step = {"key": body["step"], "title": str(body["step"]).replace("_", " ").capitalize()}
        yield _row(step, ask, [one], names)
