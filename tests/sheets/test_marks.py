"""A part that carries its own mark is held against that mark wherever it is shown."""

from shopfloor.jobs.words import limit_in_words
from shopfloor.journal.judging import marked

STEM = {"rule": {"type": "band", "min": 4, "max": 6}, "unit": "N·m"}


def _head(body: dict[str, object]) -> dict[str, object]:
    return {"id": "x", "by": "y", "at": "z", "kind": "reading", "body": body}


def test_the_limit_is_the_marked_one() -> None:
    ask = marked(STEM, [_head({"value": 8, "mark": {"min": 7, "max": 9}})])  # type: ignore[list-item]

    assert limit_in_words(ask) == "7 to 9 N·m, as marked"


def test_without_a_mark_the_table_holds() -> None:
    assert limit_in_words(marked(STEM, [_head({"value": 5})])) == "4 to 6 N·m"  # type: ignore[list-item]
