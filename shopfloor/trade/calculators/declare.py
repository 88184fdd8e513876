"""
What a calculator is: its fields, the function that answers, and what must be said beside it.

Declared once for each calculator; the command `calc` and the desk's page both read it from here.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from shopfloor.trade.calculators.reading import BadInput, Reader
from shopfloor.words import gettext as _

Given = Mapping[str, Any]
REQUIRED: Final = object()


@dataclass(frozen=True, kw_only=True)
class Field:
    """
    One input of a calculator.

    key       its name in a question; a dot leads into a group, as in left.spokes
    read      makes a value of JSON or of what was typed
    unit      stands behind the box; empty for a plain number or a word
    default   used when nothing is given; without one the field must be given
    choices   (value, words) where only these are allowed
    example   what the page shows first
    lines     several rows, one a line
    argument  what the function calls it, where that is not the key
    also      other names under which a question may give it
    """

    key: str
    label: str
    read: Reader
    unit: str = ""
    hint: str = ""
    default: Any = REQUIRED
    choices: tuple[tuple[str, str], ...] = ()
    example: str = ""
    lines: bool = False
    argument: str = ""
    also: tuple[str, ...] = ()

    @property
    def required(self) -> bool:
        return self.default is REQUIRED

    @property
    def name(self) -> str:
        return self.argument or self.key.replace(".", "_")

    def value(self, raw: Any) -> Any:
        """The value of what was given. Raises BadInput, which names the field."""
        if raw is None or (isinstance(raw, str) and not raw.strip()):
            if self.required:
                raise BadInput(_("is missing: give it."), field=self.key)
            return self.default
        try:
            return self.read(raw)
        except BadInput as error:
            raise BadInput(str(error), field=self.key) from error


@dataclass(frozen=True, kw_only=True)
class Part:
    """One named figure of an answer that has several."""

    key: str
    label: str
    unit: str = ""
    digits: int = 2


@dataclass(frozen=True, kw_only=True)
class Answer:
    """
    How an answer is said to a person.

    words   for answers that are one of a few values: what each means
    parts   for answers of several figures
    item    for answers that are lists of names: how one is said
    """

    unit: str = ""
    digits: int = 2
    words: Mapping[Any, str] | None = None
    parts: tuple[Part, ...] = ()
    item: Callable[[Any], str] | None = None


@dataclass(frozen=True, kw_only=True)
class Calculator:
    """
    One calculation and all that must be known to trust it.

    work      the function, called with the fields by their names
    formula   how it is worked out, in one line
    limits    where it holds and where it stops
    doubt     what it does not know
    cautions  what can hurt somebody, or the part
    remarks   sentences that depend on what was given and what came out
    rows      (source, source kind) of the table rows that this answer rests on
    """

    name: str
    title: str
    fields: tuple[Field, ...]
    work: Callable[..., Any]
    answer: Answer
    formula: str
    limits: str
    doubt: str
    source: str
    source_kind: str
    cautions: tuple[str, ...] = ()
    remarks: Callable[[Given, Any], Sequence[str]] | None = None
    rows: Callable[[Given, Any], Sequence[tuple[str, str]]] | None = None

    def read(self, raw: Mapping[str, Any]) -> dict[str, Any]:
        """The arguments of the function. Raises BadInput, which names the field."""
        return {field.name: field.value(_find(raw, field)) for field in self.fields}

    def unknown(self, raw: Mapping[str, Any]) -> list[str]:
        """The names in a question that this calculator does not know."""
        known = {key for field in self.fields for key in (field.key, *field.also)}
        known |= {key.split(".")[0] for key in known}
        return [key for key in raw if key not in known]

    def say(self, given: Given, result: Any) -> list[str]:
        """What must be said beside this very answer, in the language of the moment."""
        return list(self.remarks(given, result)) if self.remarks else []

    def sources(self, given: Given, result: Any) -> list[tuple[str, str]]:
        """The formula's source, then those of the rows used, each with its kind."""
        rows = self.rows(given, result) if self.rows else ()
        return list(dict.fromkeys([(self.source, self.source_kind), *rows]))


@dataclass(frozen=True, kw_only=True)
class Topic:
    """Calculators that belong together."""

    key: str
    title: str
    calculators: tuple[Calculator, ...]


def _find(raw: Mapping[str, Any], field: Field) -> Any:
    for key in (field.key, *field.also):
        if key in raw:
            return raw[key]
    group, dot, rest = field.key.partition(".")
    inside = raw.get(group) if dot else None
    return inside.get(rest) if isinstance(inside, Mapping) else None
