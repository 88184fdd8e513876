"""
What is another in a new version of a sheet, in words, one sentence for each change.

Pure: two contents in, sentences out. Names what changed; the new sheet shows it whole.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any

from shopfloor.words import gettext as _
from shopfloor.words import gettext_noop

Content = Mapping[str, Any]
Named = Mapping[str, str]

ADDED = gettext_noop("New: {what}.")
GONE = gettext_noop("No longer on the sheet: {what}.")
CHANGED = gettext_noop("Changed: {what}.")


def changes(before: Content, after: Content) -> list[str]:
    """Sentences in the order of the sheet; at least one where the two are not the same."""
    found = [
        sentence for list_of in LISTS for sentence in _compared(list_of(before), list_of(after))
    ]
    if before["not_to_ride"] != after["not_to_ride"]:
        now = _("Do not ride this bike") if after["not_to_ride"] else _("safe to ride")
        found.insert(0, _("Now released as: {how}.").format(how=now))
    return found or [_("Details of the record.")]


def _compared(before: Named, after: Named) -> Iterator[str]:
    for name, told in after.items():
        if name not in before:
            yield _sentence(ADDED, _both(name, told))
        elif before[name] != told:
            yield _sentence(CHANGED, _both(name, told, before[name]))
    for name in before:
        if name not in after:
            yield _sentence(GONE, name)


def _sentence(form: str, what: str) -> str:
    return _(form).format(what=what.rstrip(". "))


def _both(name: str, told: str, was: str = "") -> str:
    if not told:
        return name
    if was:
        return _("{name}: {now} (was {was})").format(name=name, now=told, was=was)
    return f"{name}: {told}"


def _facts(content: Content) -> Named:
    job, dates = content["job"], content["dates"]
    told = {
        _("Service"): job["service"],
        _("Price, VAT included"): job["price"],
        _("With added work"): job["total"],
        _("Ready"): dates["ready"],
        _("Bike"): content["bike"]["words"],
        _("You told us"): job["says"],
    }
    return {name: text for name, text in told.items() if text}


def _measured(content: Content) -> Named:
    told: dict[str, str] = {}
    for part in content["measured"]:
        told |= {row["what"]: _row(row, part["left"]) for row in part["rows"]}
        told |= dict.fromkeys(part["sound"], "")
    return told


def _row(row: Mapping[str, Any], left: str) -> str:
    phases = ((_("Found"), row["found"]), (left, row["left"]))
    told = [f"{name.lower()} {_values(values)}" for name, values in phases if values]
    return ", ".join([*told, _(row["verdict"])] if row["verdict"] else told)


def _values(values: Iterable[Mapping[str, Any]]) -> str:
    return " / ".join(_("loose") if value["loose"] else str(value["shown"]) for value in values)


def _titled(section: str) -> Callable[[Content], Named]:
    """Lines by their title, with price and state where they have one."""

    def named(content: Content) -> Named:
        return {line["title"]: _line(line) for line in content[section]}

    return named


def _line(line: Mapping[str, Any]) -> str:
    if line.get("done") is False:
        return _("not done yet")
    return str(line.get("price") or "")


def _work(content: Content) -> Named:
    return {part["area"]: part["text"] for part in content["work"]}


def _notes(content: Content) -> Named:
    return {_("Note: {text}").format(text=note["text"]): "" for note in content["notes"]}


def _checks(content: Content) -> Named:
    agreed = {True: _("looked it over and agreed"), False: _("did not agree")}
    return {
        _("Second person, {name}").format(name=check["by"]): agreed[check["agreed"]]
        for check in content["checks"]
    }


def _photos(content: Content) -> Named:
    every = [photo for pair in content["pairs"] for photo in pair.values()] + content["photos"]
    return {
        _("Photo “{caption}”").format(caption=photo["caption"]): photo["name"][:8]
        for photo in every
    }


LISTS: tuple[Callable[[Content], Named], ...] = (
    _facts,
    _titled("declined"),
    _titled("findings"),
    _work,
    _titled("added"),
    _titled("gifts"),
    _measured,
    _checks,
    _notes,
    _photos,
)
