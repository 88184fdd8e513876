"""The book-in form: what was typed, what follows from it, and what cannot be read."""

from collections.abc import Iterator, Mapping
from typing import Any

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext_lazy as _

from shopfloor.customers.models import Bike
from shopfloor.intake.queries import bikes_of, find_bike, find_customer
from shopfloor.intake.services import Intake
from shopfloor.trade.fields import FIELDS, YES_NO, Field
from shopfloor.trade.route import SERVICES
from shopfloor.trade.traits import ONLY_WITH, fill_defaults, usual_traits
from shopfloor.workshop.fields import PlainForm, money_field
from shopfloor.workshop.models import Workshop

NEW_BIKE = "new"
YES_NO_KEYS = tuple(field.key for field in FIELDS if field.options == YES_NO)
CHOICE_KEYS = tuple(field.key for field in FIELDS if field.key not in (*YES_NO_KEYS, "kind"))
MAIN_KEYS = tuple(f.key for f in FIELDS if f.key in CHOICE_KEYS and not f.optional)
MORE_KEYS = tuple(f.key for f in FIELDS if f.optional)
# The choice that a trait hangs on; the style sheet hides the trait by these names.
HANGS_ON = {
    key: trait if value is True else str(value) for key, (trait, value) in ONLY_WITH.items()
}
WRONG_CHOICE = {"required": _("Choose one."), "invalid_choice": _("Choose one of these.")}


def _choice(field: Field) -> forms.ChoiceField:
    choices = [(str(value), _(label)) for value, label in field.options]
    is_long = len(choices) > 6
    if field.optional:
        choices.insert(0, ("", _("Not known")))
    widget = forms.Select if is_long or field.optional else forms.RadioSelect
    return forms.ChoiceField(
        label=_(field.label),
        choices=choices,
        widget=widget,
        required=not field.optional,
        error_messages=WRONG_CHOICE,
    )


class BookInForm(PlainForm):
    """Everything the desk writes down when a bike comes in."""

    phone = forms.CharField(
        label=_("Telephone"),
        max_length=32,
        widget=forms.TextInput(attrs={"type": "tel", "autocomplete": "off", "autofocus": True}),
        help_text=_("However it is written; texts about the bike go there."),
        error_messages={
            "required": _("Write the telephone number; it is how the customer is asked.")
        },
    )
    customer_name = forms.CharField(
        label=_("Name"), max_length=80, error_messages={"required": _("Write the customer's name.")}
    )
    email = forms.EmailField(
        label=_("Email, if wanted"),
        required=False,
        error_messages={
            "invalid": _("This is not an email address. Leave it empty if there is none.")
        },
    )
    bike_id = forms.CharField(required=False, initial=NEW_BIKE)
    bike_words = forms.CharField(
        label=_("The bike in words"),
        max_length=120,
        help_text=_("How you would tell it from the others: colour, type, what stands out."),
        error_messages={"required": _("Describe the bike, for instance its colour and type.")},
    )
    frame_number = forms.CharField(
        label=_("Frame number, if wanted"), max_length=40, required=False
    )
    says = forms.CharField(
        label=_("What the rider says"),
        required=False,
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("In the rider's own words. The bench reads it first."),
    )
    service = forms.ChoiceField(
        label=_("Service"),
        choices=[(key, _(title)) for key, title in SERVICES.items()],
        initial="standard",
        widget=forms.RadioSelect,
        error_messages={
            "required": _("Choose a service."),
            "invalid_choice": _("Choose a service."),
        },
    )
    # What the traits and bikes on the page were drawn for; tells a change made without script.
    kind_shown = forms.CharField(required=False, widget=forms.HiddenInput)
    bike_shown = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, shop: Workshop, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for field in FIELDS:
            self.fields[field.key] = (
                forms.BooleanField(label=_(field.label), required=False)
                if field.key in YES_NO_KEYS
                else _choice(field)
            )
        self.fields["go_ahead"] = money_field(
            shop,
            label=_("May be spent without asking"),
            required=False,
            help_text=_(
                "VAT included. Small things found on the way are done and told, not asked."
            ),
        )

    def main_fields(self) -> Iterator[tuple[forms.BoundField, str]]:
        """The parts that decide the route, with the choice each of them hangs on."""
        return ((self[key], HANGS_ON.get(key, "")) for key in MAIN_KEYS)

    def yes_no_fields(self) -> Iterator[tuple[forms.BoundField, str]]:
        return ((self[key], HANGS_ON.get(key, "")) for key in YES_NO_KEYS)

    def more_fields(self) -> Iterator[tuple[forms.BoundField, str]]:
        return ((self[key], HANGS_ON.get(key, "")) for key in MORE_KEYS)

    def traits(self) -> dict[str, Any]:
        """The bike's traits as far as the form is right; empty without a kind."""
        found = getattr(self, "cleaned_data", {})
        if not found.get("kind"):
            return {}
        given = {field.key: _value(field, found.get(field.key)) for field in FIELDS}
        traits = fill_defaults({key: value for key, value in given.items() if value is not None})
        if traits["gears"] != "derailleur":
            traits |= {"front_mech": False, "sprockets": 1}
        return traits

    def intake(self, shop: Workshop) -> Intake:
        """What the service wants to know; for a form that is right."""
        found = self.cleaned_data
        return Intake(
            customer_name=found["customer_name"],
            phone=found["phone"],
            email=found["email"],
            bike_words=found["bike_words"],
            frame_number=found["frame_number"],
            traits=self.traits(),
            service=found["service"],
            says=found["says"],
            go_ahead_minor=found["go_ahead"] or 0,
            price_minor=int(shop.service_prices.get(found["service"], 0)),
            bike_id="" if found["bike_id"] == NEW_BIKE else found["bike_id"],
        )


def _value(field: Field, text: object) -> Any:
    """The trait's own value for what the form carries as text."""
    if isinstance(text, bool):
        return text
    return next((value for value, _label in field.options if str(value) == text), None)


def fill_in(shop: Workshop, posted: QueryDict) -> QueryDict:
    """
    What was typed, and what follows from it: a known number brings the name, a known bike its
    words and traits, a kind chosen anew the parts that are usual on it.
    """
    data = posted.copy()
    customer = find_customer(workshop=shop, phone=data.get("phone", ""))
    if customer and not data.get("customer_name", "").strip():
        data["customer_name"] = customer.name
        data["email"] = data.get("email") or customer.email
    _fill_bike(shop, data)
    kind = data.get("kind", "")
    if kind != data.get("kind_shown", kind):
        _put_traits(data, usual_traits(kind) if _is_kind(kind) else {})
    data["kind_shown"] = kind
    return data


def _fill_bike(shop: Workshop, data: QueryDict) -> None:
    chosen = data.get("bike_id") or NEW_BIKE
    shown = data.get("bike_shown") or chosen
    data["bike_id"] = data["bike_shown"] = chosen
    if chosen == shown:
        return
    bike = find_bike(workshop=shop, bike_id=chosen)
    traits = fill_defaults(bike.traits) if bike else {}
    data["bike_words"], data["frame_number"] = (bike.words, bike.frame_number) if bike else ("", "")
    data["kind"] = data["kind_shown"] = str(traits.get("kind", ""))
    _put_traits(data, traits)


def _put_traits(data: QueryDict, traits: Mapping[str, Any]) -> None:
    for field in FIELDS:
        value = traits.get(field.key)
        if value is not None and value is not False:
            data[field.key] = "on" if value is True else str(value)
        elif field.key != "kind":
            data.pop(field.key, None)


def _is_kind(text: str) -> bool:
    return any(text == value for value, _label in FIELDS[0].options)


def known_bikes(shop: Workshop, data: Mapping[str, Any]) -> list[Bike]:
    """Bikes that whoever has this telephone number brought before."""
    customer = find_customer(workshop=shop, phone=str(data.get("phone", "")))
    return bikes_of(customer) if customer else []
