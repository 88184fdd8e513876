"""
Every sentence that Python says to a person passes through here, marked with _("…").

Knows no framework: whoever starts the program says how a sentence is put into another language.
Without that it stays English. Catalogues lie in shopfloor/locale, one file for each language.
"""

from collections.abc import Callable
from datetime import date

Translate = Callable[[str], str]
TranslatePlural = Callable[[str, str, int], str]


def _english(one: str, many: str, n: int) -> str:
    return one if n == 1 else many


_translate: Translate = str
_translate_plural: TranslatePlural = _english
_language: Callable[[], str] = "en-gb".format


def speak_with(
    translate: Translate, translate_plural: TranslatePlural, language: Callable[[], str]
) -> None:
    """Use these from now on: the first two as in GNU gettext, the third tells the BCP 47 tag."""
    global _translate, _translate_plural, _language
    _translate, _translate_plural, _language = translate, translate_plural, language


def language() -> str:
    """The language of the moment, as in “en-gb”."""
    return _language()


def gettext(text: str) -> str:
    """The sentence in the language of the moment; {places} are filled in afterwards."""
    return _translate(text)


def ngettext(one: str, many: str, n: int) -> str:
    """The form that goes with n; {places} are filled in afterwards."""
    return _translate_plural(one, many, n)


def gettext_noop(text: str) -> str:
    """Marks a sentence of a table, which is translated where it is used."""
    return text


_WEEKDAYS = (
    gettext_noop("Monday"),
    gettext_noop("Tuesday"),
    gettext_noop("Wednesday"),
    gettext_noop("Thursday"),
    gettext_noop("Friday"),
    gettext_noop("Saturday"),
    gettext_noop("Sunday"),
)
_MONTHS = (
    gettext_noop("January"),
    gettext_noop("February"),
    gettext_noop("March"),
    gettext_noop("April"),
    gettext_noop("May"),
    gettext_noop("June"),
    gettext_noop("July"),
    gettext_noop("August"),
    gettext_noop("September"),
    gettext_noop("October"),
    gettext_noop("November"),
    gettext_noop("December"),
)


def weekday(on: date) -> str:
    """Monday, Tuesday, …"""
    return _translate(_WEEKDAYS[on.weekday()])


def month(on: date) -> str:
    """January, February, …"""
    return _translate(_MONTHS[on.month - 1])


def day_and_month(on: date) -> str:
    """2 March, in the order of the language."""
    return _translate("{day} {month}").format(day=on.day, month=month(on))


def short_day(on: date) -> str:
    """Mon 2 Mar, in the order of the language; each name is the start of its long form."""
    names = {"weekday": weekday(on)[:3], "day": on.day, "month": month(on)[:3]}
    return _translate("{weekday} {day} {month}").format(**names)
