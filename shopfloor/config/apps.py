"""What has to be connected once when the program starts."""

from django.apps import AppConfig
from django.conf import settings
from django.utils import translation

from shopfloor import words


class ShopfloorConfig(AppConfig):
    """Lets the ground floor, which knows no framework, speak the language of the request."""

    name = "shopfloor.config"

    def ready(self) -> None:
        words.speak_with(translation.gettext, translation.ngettext, spoken)


def spoken() -> str:
    """The language of the moment; the source language where none is active."""
    return translation.get_language() or settings.LANGUAGE_CODE
