"""A calculator's fields as a form; what each may hold is decided by its declaration."""

import re
from collections.abc import Mapping
from typing import Any, Final

from django import forms

from shopfloor.trade.calculators.declare import Calculator, Field
from shopfloor.trade.calculators.reading import BadInput
from shopfloor.words import gettext as _
from shopfloor.workshop.fields import PlainForm

# More choices than these are a list to open instead of buttons.
MOST_BUTTONS: Final = 4
_NUMBER: Final = re.compile(r"\d+(\.\d+)?")


class DeclaredField(forms.CharField):
    """What was typed, read by the field's own declaration."""

    def __init__(self, field: Field) -> None:
        unit = _(field.unit) if field.unit else ""
        # A row of values needs the whole width: the unit goes to the label.
        is_long = " " in field.example
        super().__init__(
            label=f"{_(field.label)}, {unit}" if unit and is_long else _(field.label),
            help_text=_(field.hint) if field.hint else "",
            required=field.required,
            initial=field.example,
            max_length=2000,
            widget=_widget(field),
        )
        self.declared = field
        self.unit = "" if is_long else unit

    def clean(self, value: Any) -> Any:
        """The value for the function. Raises ValidationError with what to write."""
        typed = super().clean(value)
        try:
            return self.declared.value(typed)
        except BadInput as refused:
            sentence = str(refused)
            raise forms.ValidationError(sentence[:1].upper() + sentence[1:]) from refused


def _widget(field: Field) -> forms.Widget:
    if field.choices:
        choices = [(value, _(words)) for value, words in field.choices]
        few = len(choices) <= MOST_BUTTONS
        return (forms.RadioSelect if few else forms.Select)(choices=choices)
    if field.lines:
        return forms.Textarea(attrs={"rows": 4, "autocomplete": "off"})
    attrs = {"autocomplete": "off", "autocapitalize": "off"}
    # A keypad has neither a minus nor the stroke of a fraction: only where a unit is measured.
    if field.unit and _NUMBER.fullmatch(field.example):
        attrs["inputmode"] = "decimal"
    return forms.TextInput(attrs=attrs)


class CalculatorForm(PlainForm):
    """The form of one calculator; without data it shows the example."""

    def __init__(self, data: Mapping[str, Any] | None, *, calculator: Calculator) -> None:
        super().__init__(data)
        for field in calculator.fields:
            self.fields[field.key] = DeclaredField(field)
        self.calculator = calculator

    def given(self) -> dict[str, Any]:
        """The arguments of the function, of a form that is valid."""
        return {field.name: self.cleaned_data[field.key] for field in self.calculator.fields}


def example(calculator: Calculator) -> dict[str, str]:
    """What the form shows before anything is typed."""
    return {field.key: field.example for field in calculator.fields}
