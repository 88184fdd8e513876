"""
Every sentence that Python says to a person passes through here, marked with _("…").

Knows no framework: whoever starts the program says how a sentence is put into another language.
Without that it stays English. Catalogues lie in shopfloor/locale, one file for each language.
"""

from collections.abc import Callable

Translate = Callable[[str], str]
TranslatePlural = Callable[[str, str, int], str]


def _english(one: str, many: str, n: int) -> str:
    return one if n == 1 else many


_translate: Translate = str
_translate_plural: TranslatePlural = _english
_language: Callable[[], str] = "en".format


def speak_with(
    translate: Translate, translate_plural: TranslatePlural, language: Callable[[], str]
) -> None:
    """Use these from now on: the first two as in GNU gettext, the third tells the BCP 47 tag."""
    global _translate, _translate_plural, _language
    _translate, _translate_plural, _language = translate, translate_plural, language


def language() -> str:
    """The language of the moment without its region, as in “en”."""
    return _language().partition("-")[0]


def gettext(text: str) -> str:
    """The sentence in the language of the moment; {places} are filled in afterwards."""
    return _translate(text)


def ngettext(one: str, many: str, n: int) -> str:
    """The form that goes with n; {places} are filled in afterwards."""
    return _translate_plural(one, many, n)


def gettext_noop(text: str) -> str:
    """Marks a sentence of a table, which is translated where it is used."""
    return text
