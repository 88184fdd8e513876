"""
Which readings, torques, choices and photos a step asks for on this bike.

Puts the limits of the tables into the asks; judges nothing.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from shopfloor.trade.tables import Row, get_row, table
from shopfloor.trade.traits import Traits, matches

Ask = dict[str, Any]

READ_TWICE = ["found", "left"]
BY_KIND = "Usual by kind: {kinds}."


def fill_asks(templates: Sequence[Mapping[str, Any]], traits: Traits, *, step: str) -> list[Ask]:
    """The asks of one step, torques of that step last; those of other bikes left out."""
    asks = [
        fill_ask(template, traits)
        for template in templates
        if "torque" not in template and matches(template.get("when"), traits)
    ]
    return asks + torque_asks(traits, step=step)


def fill_ask(template: Mapping[str, Any], traits: Traits) -> Ask:
    ask: Ask = {
        "item": template["item"],
        "kind": template["kind"],
        "label": template["label"],
        "phases": list(template["phases"]),
        "required": list(template["required"]),
        "safety": bool(template.get("safety", False)),
    }
    if "clears" in template:
        ask["clears"] = dict(template["clears"])
    if "wear" in template:
        ask |= _limits(wear_row(template["wear"], traits))
    if "grade" in template:
        ask |= _choices(get_row("wear", template["grade"]))
    if template.get("note"):
        ask["note"] = template["note"]
    return ask


def wear_row(name: str, traits: Mapping[str, Any]) -> Row:
    """The row of limits by its name; the chain's depends on the sprockets and on a motor."""
    if name != "chain":
        return get_row("wear", name)
    if traits.get("kind") == "ebike":
        return get_row("wear", "chain:ebike")
    return chain_row(int(traits["sprockets"]))


def chain_row(sprockets: int) -> Row:
    """The chain's limits by the number of sprockets; beyond the table the nearest row counts."""
    rows = [row for row in table("wear") if "sprockets" in row]
    fitting = [row for row in rows if row["sprockets"][0] <= sprockets]
    return max(fitting or rows[:1], key=lambda row: row["sprockets"][0])


def _limits(row: Row) -> Ask:
    keys = ("rule", "unit", "scale", "uncertainty", "also", "mark", "note", "source", "source_kind")
    return {key: row[key] for key in keys if row.get(key) not in (None, "") or key == "rule"}


def _choices(row: Row) -> Ask:
    return {key: row[key] for key in ("choices", "source", "source_kind")}


def torque_asks(traits: Traits, *, step: str) -> list[Ask]:
    """
    One torque per fastener of this bike that is set in this step, front of the bike first.

    Where the table knows several kinds of a fastener and nothing says which this bike has,
    no limit is given: the mark decides, and the note lists what is usual for each kind.
    """
    places: dict[str, list[Row]] = {}
    for row in table("torque"):
        if row["step"] == step and row["min"] is not None and matches(row.get("when"), traits):
            places.setdefault(row["item"], []).append(row)
    return [torque_ask(rows, carbon=bool(traits.get("carbon"))) for rows in places.values()]


def torque_ask(rows: Sequence[Row], *, carbon: bool) -> Ask:
    """The torque of one fastener of which these kinds come into question."""
    first = rows[0]
    return {
        "item": first["item"],
        "kind": "torque",
        "label": first["label"],
        "phases": list(READ_TWICE),
        "required": ["left"] if first["required"] else [],
        "unit": "N·m",
        "rule": _band(first) if len(rows) == 1 else None,
        "scale": [0, _scale_end(rows)],
        "safety": first["safety"],
        "uncertainty": None,
        "mark": "The value marked on the part comes first; of two clamped parts the lower.",
        "note": _torque_note(rows, carbon=carbon),
        "source": first["source"],
        "source_kind": first["source_kind"],
    }


def _band(row: Row) -> dict[str, Any]:
    return {"type": "band", "min": row["min"], "max": row["max"]}


def _scale_end(rows: Iterable[Row]) -> float:
    return float(round(max(row["max"] for row in rows) * 1.5))


def _torque_note(rows: Sequence[Row], *, carbon: bool) -> str:
    if len(rows) > 1:
        return BY_KIND.format(kinds="; ".join(map(band_words, rows)))
    row = rows[0]
    parts = [row["thread"] and f"{row['thread']}.", row.get("note", "")]
    if carbon:
        parts.append(row.get("carbon", ""))
    return " ".join(part for part in parts if part)


def band_words(row: Row) -> str:
    """One kind of a fastener with its band, for where several come into question."""
    return f"{row['thread']} {row['min']:g} to {row['max']:g} N·m"
