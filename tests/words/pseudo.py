"""
A language made up for tests: every sentence of the catalogue in ‹angle marks›.

What stands on a page without marks did not pass through the catalogue.
"""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from html.parser import HTMLParser

from django.utils.translation import trans_real

SPOKEN_ATTRIBUTES = {"aria-label", "title", "alt", "placeholder", "data-label"}


class Pseudo(trans_real.DjangoTranslation):
    """Django's catalogue of English with each sentence marked."""

    def gettext(self, message: str) -> str:
        return f"‹{super().gettext(message)}›" if message.strip() else message

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return f"‹{super().ngettext(msgid1, msgid2, n)}›"


@contextmanager
def spoken() -> Iterator[None]:
    """While this lasts, everybody speaks the made-up language."""
    before = dict(trans_real._translations)
    trans_real._translations.update({"en-gb": Pseudo("en-gb"), "en": Pseudo("en")})
    trans_real.activate("en-gb")
    try:
        yield
    finally:
        trans_real._translations.clear()
        trans_real._translations.update(before)
        trans_real.activate("en-gb")


class _Texts(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.texts: list[str] = []
        self._silent = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._silent += tag in {"script", "style"}
        self.texts += [value for name, value in attrs if name in SPOKEN_ATTRIBUTES and value]

    def handle_endtag(self, tag: str) -> None:
        self._silent -= tag in {"script", "style"}

    def handle_data(self, data: str) -> None:
        if not self._silent:
            self.texts.append(data)


def texts_of(html: str) -> str:
    """All that is read or read aloud on a page."""
    parser = _Texts()
    parser.feed(html)
    return "\n".join(parser.texts)


def unmarked(text: str) -> set[str]:
    """The words outside every mark; marks may stand inside one another."""
    left, depth = [], 0
    for letter in text:
        depth += (letter == "‹") - (letter == "›")
        left.append(" " if depth or letter == "›" else letter)
    return set(re.findall(r"[^\W\d_]{3,}", "".join(left)))
