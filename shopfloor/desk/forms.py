"""What is typed at the desk: signing in, searching, an offer, an answer, a moved promise."""

from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from shopfloor.approvals.models import Offer, OfferLine
from shopfloor.approvals.services import Wanted
from shopfloor.workshop.fields import PlainForm, money_field
from shopfloor.workshop.models import Workshop

EMPTY_PART_ROWS = 2
MAX_PART_ROWS = 12


class SignInForm(PlainForm):
    username = forms.CharField(
        label=_("Name to sign in with"),
        widget=forms.TextInput(
            attrs={"autocomplete": "username", "autocapitalize": "none", "autofocus": True}
        ),
        error_messages={"required": _("Write the name you sign in with.")},
    )
    password = forms.CharField(
        label=_("Password"),
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
        error_messages={"required": _("Write your password.")},
    )


class FindingForm(PlainForm):
    """One finding as it is to be offered: every word and figure can be changed first."""

    chosen = forms.BooleanField(label=_("Offer this"), required=False, initial=True)
    title = forms.CharField(label=_("What"), max_length=120)
    reason = forms.CharField(
        label=_("Why, as the customer reads it"),
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 2}),
    )
    minutes = forms.IntegerField(label=_("Minutes of work"), min_value=0, max_value=6000)
    safety = forms.BooleanField(label=_("It matters for safety"), required=False)

    def __init__(
        self, data: Any = None, *, shop: Workshop, finding: Mapping[str, Any], photo: str = ""
    ) -> None:
        self.finding, self.photo = finding, photo
        body = finding["body"]
        parts = list(body.get("parts") or [])[:MAX_PART_ROWS]
        super().__init__(data, prefix=finding["id"], initial=_initial(body, parts))
        self.rows = len(parts) + EMPTY_PART_ROWS
        for row in range(self.rows):
            self.fields[f"part_{row}"] = forms.CharField(
                label=_("Part"), max_length=80, required=False
            )
            self.fields[f"price_{row}"] = money_field(
                shop, label=_("Price before VAT"), required=False
            )
            self.fields[f"stock_{row}"] = forms.BooleanField(label=_("In stock"), required=False)

    def full_clean(self) -> None:
        super().full_clean()
        if not getattr(self, "cleaned_data", {}).get("chosen", True):
            # What is not offered need not be right.
            self.errors.clear()

    def clean(self) -> dict[str, Any]:
        found = super().clean() or {}
        for row in range(self.rows):
            if found.get(f"price_{row}") is not None and not found.get(f"part_{row}"):
                self.add_error(f"part_{row}", _("Name the part that has this price."))
            if found.get(f"part_{row}") and found.get(f"price_{row}") is None:
                self.add_error(f"price_{row}", _("Give the part a price; 0 if it costs nothing."))
        return found

    def part_rows(self) -> Iterator[tuple[forms.BoundField, ...]]:
        names = ("part", "price", "stock")
        return (tuple(self[f"{name}_{row}"] for name in names) for row in range(self.rows))

    def wanted(self) -> Wanted | None:
        """The finding as the service takes it, or None when it is not chosen."""
        found = self.cleaned_data
        if not found["chosen"]:
            return None
        return Wanted(
            finding=self.finding["id"],
            title=found["title"],
            reason=found["reason"],
            minutes=found["minutes"],
            parts=self._parts(),
            safety=found["safety"],
            task=str(self.finding["body"].get("task") or ""),
            photo=self.photo,
        )

    def _parts(self) -> list[dict[str, Any]]:
        found = self.cleaned_data
        return [
            {
                "name": found[f"part_{row}"],
                "price_minor": found[f"price_{row}"] or 0,
                "in_stock": found[f"stock_{row}"],
            }
            for row in range(self.rows)
            if found[f"part_{row}"]
        ]


def _initial(body: Mapping[str, Any], parts: list[Mapping[str, Any]]) -> dict[str, Any]:
    facts = {name: body.get(name) for name in ("title", "reason", "minutes", "safety")}
    for row in range(len(parts) + EMPTY_PART_ROWS):
        part = parts[row] if row < len(parts) else {}
        facts[f"part_{row}"] = part.get("name", "")
        facts[f"price_{row}"] = part.get("price_minor")
        facts[f"stock_{row}"] = part.get("in_stock") is not False
    return facts


class AnswerForm(PlainForm):
    """What the customer said by telephone or at the counter, line by line."""

    channel = forms.ChoiceField(
        label=_("How did the answer come?"),
        choices=[("telephone", _("By telephone")), ("counter", _("At the counter"))],
        widget=forms.RadioSelect,
        error_messages={"required": _("Choose how the answer came.")},
    )
    words = forms.CharField(
        label=_("Who said it"),
        max_length=80,
        error_messages={"required": _("Write who gave the answer.")},
    )
    version = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, data: Any = None, *, offer: Offer) -> None:
        self.lines: list[OfferLine] = list(offer.lines.all())
        initial = {"version": offer.version, "words": offer.job.customer.name}
        super().__init__(data, prefix=str(offer.id), initial=initial)
        for line in self.lines:
            self.fields[f"line_{line.id}"] = forms.ChoiceField(
                label=line.title,
                choices=[("yes", _("Yes")), ("no", _("No"))],
                widget=forms.RadioSelect,
                error_messages={"required": _("Say yes or no to this line.")},
            )

    def line_fields(self) -> Iterator[tuple[OfferLine, forms.BoundField]]:
        return ((line, self[f"line_{line.id}"]) for line in self.lines)

    def decisions(self) -> dict[str, str]:
        return {str(line.id): self.cleaned_data[f"line_{line.id}"] for line in self.lines}


class PromiseForm(PlainForm):
    """Another day and time, and why."""

    on = forms.DateField(
        label=_("Day"),
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={
            "required": _("Choose the day."),
            "invalid": _("Write the day like 2026-12-24."),
        },
    )
    time = forms.TimeField(
        label=_("Time"),
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
        error_messages={
            "required": _("Choose the time."),
            "invalid": _("Write the time like 16:30."),
        },
    )
    why = forms.CharField(
        label=_("Why it moves"),
        max_length=300,
        error_messages={"required": _("Write why; the next person will ask.")},
    )
    tell = forms.BooleanField(label=_("Tell the customer by text"), required=False, initial=True)

    def __init__(self, *args: Any, at: datetime, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.at = at

    def clean(self) -> dict[str, Any]:
        found = super().clean() or {}
        if found.get("on") and found.get("time"):
            naive = datetime.combine(found["on"], found["time"])
            found["ready_at"] = timezone.make_aware(naive)
            if found["ready_at"] <= self.at:
                self.add_error("on", _("That time has passed. Promise a time to come."))
        return found
