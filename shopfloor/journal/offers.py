"""
What was asked of the customer, what was answered, and what waits for parts?

See also frontend/src/journal/offers.ts.
"""

from collections.abc import Iterable, Mapping, Sequence

from shopfloor.journal.bodies import uuid_in
from shopfloor.journal.places import place_of
from shopfloor.journal.state import Added, Head, Row

# Where two answers differ, the one that does less to the bike and the bill is taken.
CAUTION = ("no", "withdrawn", "yes")


def current_asked(heads: Iterable[Head]) -> list[Head]:
    """The asked entries of the newest version of each offer."""
    asked = [head for head in heads if head["kind"] == "asked"]
    newest: dict[str, int] = {}
    for head in asked:
        offer = uuid_in(head["body"], "offer")
        newest[offer] = max(newest.get(offer, 0), int(head["body"]["version"]))
    return [head for head in asked if _version(head) == newest[uuid_in(head["body"], "offer")]]


def list_asking(heads: Sequence[Head], asked: Iterable[Head]) -> list[str]:
    """
    The findings of offers whose present version has no answer yet.

    What the customer was only told about, inside the agreed limit, needs no answer.
    """
    answered = {place_of("answer", head["body"]) for head in heads if head["kind"] == "answer"}
    waiting = (
        head
        for head in asked
        if head["body"].get("told") is not True
        and f"answer:{uuid_in(head['body'], 'offer')}:{_version(head)}" not in answered
    )
    return sorted({finding for head in waiting for finding in _findings(head)})


def read_answers(heads: Iterable[Head]) -> tuple[dict[str, str], set[str]]:
    """
    The decision on each finding, and the places whose answers contradict each other.

    In one offer the newest version that speaks of a finding decides. Where that leaves two
    decisions (two answers to one version, or two offers), the cautious one is taken.
    """
    told: dict[str, dict[str, set[str]]] = {}
    for finding, (decision, place) in _newest_lines(heads):
        told.setdefault(finding, {}).setdefault(decision, set()).add(place)
    answers = {
        finding: next(word for word in CAUTION if word in decisions)
        for finding, decisions in told.items()
    }
    disputed = {
        place
        for decisions in told.values()
        if len(decisions) > 1
        for places in decisions.values()
        for place in places
    }
    return answers, disputed


def list_parts(
    findings: Iterable[Row],
    *,
    answers: Mapping[str, str],
    asked: Iterable[Head],
    added: Iterable[Added],
    arrived: Mapping[str, object],
) -> list[str]:
    """
    The findings that are agreed to and wait for a part said not to be in stock.

    Agreed: the customer said yes, or was told of it inside the limit, or its work was added, and
    nobody said no.
    """
    taken = {finding for head in asked if head["body"].get("told") for finding in _findings(head)}
    taken |= {one["finding"] for one in added}
    return [
        row["id"]
        for row in findings
        if answers.get(row["id"], "yes" if row["id"] in taken else "") == "yes"
        and any(part.get("in_stock") is False for part in row["body"].get("parts", []))
        and f"parts:{row['id']}" not in arrived
    ]


def _newest_lines(heads: Iterable[Head]) -> list[tuple[str, tuple[str, str]]]:
    """(finding, (decision, place)) of each line that no newer version of its offer speaks of."""
    lines = [
        (uuid_in(line, "finding"), uuid_in(head["body"], "offer"), _version(head), line["decision"])
        for head in heads
        if head["kind"] == "answer"
        for line in head["body"]["lines"]
    ]
    newest: dict[tuple[str, str], int] = {}
    for finding, offer, version, _ in lines:
        newest[finding, offer] = max(newest.get((finding, offer), 0), version)
    return [
        (finding, (decision, f"answer:{offer}:{version}"))
        for finding, offer, version, decision in lines
        if version == newest[finding, offer]
    ]


def _findings(head: Head) -> list[str]:
    return [uuid_in({"id": finding}, "id") for finding in head["body"]["findings"]]


def _version(head: Head) -> int:
    return int(head["body"]["version"])
