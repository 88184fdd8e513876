"""Is a JSON value written the one way, and told from another one?"""

from typing import Any

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from shopfloor.journal.values import canonical_json, same_value
from tests.journal.cases import load_cases

MAX = 9_007_199_254_740_991
TEXTS = st.text(st.characters(exclude_categories=["Cs"]))
NUMBERS = st.integers(-MAX, MAX) | st.floats(-MAX, MAX, allow_nan=False)
VALUES: st.SearchStrategy[Any] = st.recursive(
    st.none() | st.booleans() | NUMBERS | TEXTS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(TEXTS, inner, max_size=4),
    max_leaves=12,
)


@pytest.mark.parametrize("case", load_cases("values"))
def test_a_value_has_one_text(case: dict[str, Any]) -> None:
    """The source of each text stands beside it; the rfc8785 package writes the same."""
    assert canonical_json(case["value"]) == case["text"]


@given(VALUES)
def test_the_text_is_that_of_an_independent_writer(value: Any) -> None:
    """Compared with the rfc8785 package, another implementation of RFC 8785."""
    assert canonical_json(value).encode() == rfc8785.dumps(value)


@given(VALUES, VALUES)
def test_values_are_the_same_when_their_texts_are(left: Any, right: Any) -> None:
    assert same_value(left, left)
    assert same_value(left, right) == (canonical_json(left) == canonical_json(right))


@pytest.mark.parametrize(
    ("left", "right", "same"),
    [
        (5, 5.0, True),
        (True, 1, False),
        (False, 0, False),
        ("5", 5, False),
        (None, False, False),
        ([1, 2], [2, 1], False),
        ([1], [1, 1], False),
        ({"a": 1, "b": 2}, {"b": 2, "a": 1}, True),
        ({"a": None}, {}, False),
        ({"a": [True]}, {"a": [1]}, False),
        ([], {}, False),
    ],
)
def test_sameness_is_strict_about_types(left: Any, right: Any, same: bool) -> None:
    assert same_value(left, right) is same
    assert same_value(right, left) is same
