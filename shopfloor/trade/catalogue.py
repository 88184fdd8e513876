"""
What a phone needs to compose a route by itself, as plain data.

Whatever does not hang on the bike is filled in here: compounds, limits, choices, torques. What is
left is to choose by the bike's traits, and the steps of a route come about like this. See also
compose in trade/route.py, which gives the same, to the last letter.

1. traits   `{**usual[kind], **given}`; a value that is null counts as not given.
2. when     null means every bike; otherwise a list of alternatives. One fits when for each trait
            in it the bike has one of the values, or nothing is known about that trait.
3. rows     of `steps` those whose `when` fits are on the bike. Of these are kept those whose
            `tier` stands in `services` not after the service asked for.
4. step     the row with the fields of each of its `variants` that fits laid over it, in order;
            then without tier, when, variants, torques. Of points and cautions the texts that fit,
            of checks the keys that are kept, of asks the `ask` of each that fits.
5. torques  come behind the other asks. Of each fastener those `kinds` count that fit. None: it
            is not asked. One: its `ask`; with carbon parts its `carbon` is put behind the note,
            with a space between where there is a note. Several: the first one's `ask`, but rule
            null, scale the widest of all, and the note is `by_kind` with the `words` of each,
            parted by “; ”, for {kinds}.
6. after    from each kept step walk back over the pairs of the rows on the bike, breadth first,
            no row twice. A kept one ends the way: it is a reason of the step, direct if it was
            met in the step's own pairs. One that is not kept hands its own pairs on. A reason
            that was handed on is dropped where the other pairs of all kept steps imply it.
            A step's reasons: the direct ones, then those handed on, each in the order found.
7. order    by stage, then as the rows stand; pairs come before both. As merge in trade/route.py.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cache
from typing import Any

from shopfloor.trade.asks import BY_KIND, band_words, chain_row, fill_ask, torque_ask
from shopfloor.trade.fields import FIELDS, KINDS
from shopfloor.trade.route import SERVICES, compound
from shopfloor.trade.tables import CATALOGUE, Row, table
from shopfloor.trade.traits import ONLY_WITH, fill_defaults, usual_traits

When = Sequence[Mapping[str, Sequence[Any]]] | None

_FIELDS = ("title", "how", "why", "bath", "checks")


@cache
def catalogue() -> dict[str, Any]:
    """
    The catalogue of this version; the same object every time, so leave it as it is.

    fields   traits in the order in which a form asks for them; one with `only_with` means
             something only where that other trait has that value
    usual    by kind: what is taken for granted where nothing is said
    offered  by kind: what a form may offer first
    tasks    keys of the added work, with the bikes it is for
    """
    return {
        "version": CATALOGUE,
        "fields": [
            {
                "key": field.key,
                "label": field.label,
                "options": [{"value": value, "label": label} for value, label in field.options],
                "optional": field.optional,
                "only_with": _only_with(field.key),
            }
            for field in FIELDS
        ],
        "usual": {kind: fill_defaults({"kind": kind}) for kind in KINDS},
        "offered": {kind: usual_traits(kind) for kind in KINDS},
        "services": [{"key": key, "title": title} for key, title in SERVICES.items()],
        "steps": [_step(row) for row in table("steps")],
        "by_kind": BY_KIND,
        "tasks": [{"key": row["key"], "when": row.get("when")} for row in table("added_work")],
    }


def _only_with(key: str) -> dict[str, Any] | None:
    if key not in ONLY_WITH:
        return None
    trait, value = ONLY_WITH[key]
    return {"key": trait, "value": value}


def _step(row: Row) -> dict[str, Any]:
    low, typical, high = row["minutes"]
    return {
        "key": row["key"],
        "stage": row["stage"],
        "tier": row["tier"],
        "when": row.get("when"),
        "after": [{"key": key, "because": because} for key, because in row["after"]],
        "kind": row.get("kind", "work"),
        "minutes": {"low": low, "typical": typical, "high": high},
        "safety": row["safety"],
        "source": row["source"],
        "source_kind": row["source_kind"],
        **_told({"bath": None, "checks": [], "points": [], "cautions": []} | dict(row)),
        "compound": compound(row.get("compound")),
        "asks": [one for template in row.get("asks", ()) for one in _asks(template)],
        "torques": list(_torques(row["key"])),
        "variants": [_variant(row, variant) for variant in row.get("variants", ())],
    }


def _variant(row: Row, variant: Mapping[str, Any]) -> dict[str, Any]:
    """What is told otherwise of some bikes. It adds cautions and never takes one away."""
    told = {"when": variant["when"], **_told(variant)}
    if "cautions" in variant:
        kept = [text for text in row.get("cautions", ()) if text not in variant["cautions"]]
        told["cautions"] += _texts(kept)
    if "compound" in variant:
        told["compound"] = compound(variant["compound"])
    return told


def _told(row: Mapping[str, Any]) -> dict[str, Any]:
    plain = {name: row[name] for name in _FIELDS if name in row}
    return plain | {name: _texts(row[name]) for name in ("points", "cautions") if name in row}


def _texts(entries: Iterable[Any]) -> list[dict[str, Any]]:
    return [
        {"when": None, "text": entry} if isinstance(entry, str) else dict(entry)
        for entry in entries
    ]


def _asks(template: Mapping[str, Any]) -> Iterator[dict[str, Any]]:
    """One ask with the bikes it is for; the chain's once for each row of limits."""
    if "torque" in template:
        return
    if template.get("wear") != "chain":
        yield {"when": template.get("when"), "ask": fill_ask(template, {})}
        return
    for row, condition in _chains():
        ask = fill_ask({**template, "wear": row}, {})
        yield {"when": _both(template.get("when"), condition), "ask": ask}


def _chains() -> Iterator[tuple[str, Mapping[str, Sequence[Any]]]]:
    """The rows of the chain's limits, each with the bikes it is for."""
    yield "chain:ebike", {"kind": ["ebike"]}
    sprockets = next(field for field in FIELDS if field.key == "sprockets")
    by_row: dict[str, list[int]] = {}
    for count, _ in sprockets.options:
        by_row.setdefault(chain_row(count)["key"], []).append(count)
    for row, counts in by_row.items():
        yield row, {"kind": [kind for kind in KINDS if kind != "ebike"], "sprockets": counts}


def _both(when: When, condition: Mapping[str, Sequence[Any]]) -> list[dict[str, Any]]:
    """The alternatives, each narrowed by one more condition."""
    narrowed = []
    for alternative in when or [{}]:
        shared = {
            key: [value for value in alternative.get(key, allowed) if value in allowed]
            for key, allowed in condition.items()
        }
        narrowed.append({**alternative, **shared})
    return narrowed


def _torques(step: str) -> Iterator[dict[str, Any]]:
    """The fasteners set in a step, front of the bike first, each with its kinds."""
    kinds: dict[str, list[Row]] = {}
    for row in table("torque"):
        if row["step"] == step and row["min"] is not None:
            kinds.setdefault(row["item"], []).append(row)
    for item, rows in kinds.items():
        yield {"item": item, "kinds": [_kind(row) for row in rows]}


def _kind(row: Row) -> dict[str, Any]:
    return {
        "when": row.get("when"),
        "ask": torque_ask([row], carbon=False),
        "carbon": row.get("carbon", ""),
        "words": band_words(row),
    }
