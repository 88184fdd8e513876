"""
When are two JSON values the same, and what is the one text of a value?

Both answers must be identical in Python and in TypeScript. See also frontend/src/journal/values.ts.
"""

import json
from decimal import Decimal
from typing import Any


def same_value(left: Any, right: Any) -> bool:
    """Deep equality of JSON values: 5 is 5.0, but true is not 1 and "5" is not 5."""
    if isinstance(left, bool) or isinstance(right, bool):
        return left is right
    if isinstance(left, int | float) and isinstance(right, int | float):
        return left == right
    if isinstance(left, dict) and isinstance(right, dict):
        return left.keys() == right.keys() and all(
            same_value(value, right[key]) for key, value in left.items()
        )
    if isinstance(left, list) and isinstance(right, list):
        return len(left) == len(right) and all(map(same_value, left, right))
    return type(left) is type(right) and bool(left == right)


def canonical_json(value: Any) -> str:
    """
    The one text of a JSON value: keys in order, no spaces, numbers as ECMAScript writes them.

    Source: RFC 8785, JSON Canonicalization Scheme, sections 3.2.2 and 3.2.3.
    """
    if isinstance(value, dict):
        members = (
            f"{canonical_json(key)}:{canonical_json(value[key])}"
            for key in sorted(value, key=code_units)
        )
        return "{" + ",".join(members) + "}"
    if isinstance(value, list | tuple):
        return "[" + ",".join(map(canonical_json, value)) + "]"
    if isinstance(value, int | float) and not isinstance(value, bool):
        return _number_text(value)
    return json.dumps(value, ensure_ascii=False)


def code_units(text: str) -> bytes:
    """A sort key that orders texts as JavaScript's `<` does, by UTF-16 code unit."""
    return text.encode("utf-16-be", "surrogatepass")


def _number_text(number: int | float) -> str:
    """A finite number as ECMAScript's Number::toString writes it (up to 2^53)."""
    if number == int(number):
        return str(int(number))
    shortest = repr(float(number))
    mantissa, _, exponent = shortest.partition("e")
    if not exponent:
        return mantissa
    if int(exponent) >= -6:
        return format(Decimal(shortest), "f")
    return f"{mantissa}e{int(exponent)}"
