"""
What the reference tables hold, and where each row comes from.

The only module of the trade that reads files. A row without a source is refused.
"""

import hashlib
import json
from collections.abc import Mapping
from functools import cache
from importlib import resources
from types import MappingProxyType
from typing import Any, Final

from shopfloor.trade import traits

Row = Mapping[str, Any]

NAMES: Final = ("steps", "torque", "compounds", "added_work", "wear")
SOURCE_KINDS: Final = frozenset(
    {"standard", "handbook", "dataset", "library", "common_practice", "memory"}
)


class RowWithoutSource(ValueError):
    """A row says nothing about where its figures come from."""


def check_rows(name: str, rows: list[dict[str, Any]]) -> tuple[Row, ...]:
    """The rows, read-only. Raises RowWithoutSource, or ValueError when a key stands twice."""
    seen: set[str] = set()
    for row in rows:
        key = row.get("key", "?")
        if not row.get("source") or row.get("source_kind") not in SOURCE_KINDS:
            raise RowWithoutSource(
                f"Row “{key}” of table {name} has no source: give source and source_kind."
            )
        if key in seen:
            raise ValueError(f"Row “{key}” stands twice in table {name}.")
        seen.add(key)
    return tuple(MappingProxyType(row) for row in rows)


@cache
def table(name: str) -> tuple[Row, ...]:
    """All rows of one table, in their order."""
    return check_rows(name, json.loads(_text(name)))


@cache
def _by_key(name: str) -> Mapping[str, Row]:
    return MappingProxyType({row["key"]: row for row in table(name)})


def get_row(name: str, key: str) -> Row:
    """One row by its key. Raises KeyError."""
    return _by_key(name)[key]


def _text(name: str) -> str:
    folder = resources.files("shopfloor.trade") / "tables"
    return (folder / f"{name}.json").read_text(encoding="utf-8")


def _version() -> str:
    digest = hashlib.sha256()
    for name in NAMES:
        digest.update(_text(name).encode())
    digest.update(traits.told().encode())
    return digest.hexdigest()[:12]


# Twelve characters that change whenever a table or a trait changes; kept with every job.
CATALOGUE: Final = _version()
