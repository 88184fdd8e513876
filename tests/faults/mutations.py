"""Rules broken on purpose: the programme must notice each of them, or it proves nothing."""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Mutation:
    """
    One rule, broken by replacing a piece of source. `within` is how many seeds, from the first,
    may pass before some seed notices. A patch whose text is not there any more is an error.
    """

    name: str
    patches: Sequence[dict[str, str]]
    within: int = 60


def patch(file: str, find: str, put: str) -> dict[str, str]:
    """Replace this piece of this file, which has it exactly once."""
    return {"file": file, "find": find, "put": put}


MUTATIONS: list[Mutation] = []
