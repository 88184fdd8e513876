"""What reached the server after the bike was released, as the service sheet tells it."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from shopfloor.jobs.words import said
from shopfloor.journal.state import Head, JobState, Row
from shopfloor.sheets import words
from shopfloor.sheets.readings import Names
from shopfloor.words import gettext as _


def late_entries(
    route: Sequence[Mapping[str, Any]], state: JobState, names: Names
) -> list[dict[str, str]]:
    """What reached the workshop's server only after the bike was released."""
    titles = {step["key"]: step["title"] for step in route}
    listed: list[tuple[Head | Row, str]] = [
        (head, _late_words(head, titles)) for heads in state["places"].values() for head in heads
    ]
    listed += [
        (note, _("Note: {text}").format(text=note["body"].get("text") or ""))
        for note in state["notes"]
    ]
    listed += [(photo, _("A photo")) for photo in state["photos"]]
    listed += [
        (row, _("Finding: {title}").format(title=row["body"].get("title") or ""))
        for row in state["findings"]
    ]
    return [
        {
            "what": what,
            "by": names.person(entry["by"]),
            "at": names.moment(entry["at"]),
        }
        for entry, what in listed
        if entry["id"] in names.late and what
    ]


def _late_words(head: Head, titles: Mapping[str, str]) -> str:
    body = head["body"]
    title = titles.get(body.get("step") or "", body.get("step") or "")
    word: Callable[[Mapping[str, Any]], str] = LATE_WORDS.get(head["kind"], lambda _: "")
    told = word(body)
    return f"{title}: {told}" if title and told else ""


LATE_WORDS: Mapping[str, Callable[[Mapping[str, Any]], str]] = {
    "tick": lambda body: said(body["outcome"]),
    "check": lambda body: said(body["outcome"]),
    "choice": lambda body: f"{body['item'].replace('-', ' ')}, {said(body['phase'])}",
    "reading": lambda body: (
        f"{body['item'].replace('-', ' ')}, {said(body['phase'])} "
        f"{words.amount(body.get('value'), body.get('unit') or '')}"
    ),
}
