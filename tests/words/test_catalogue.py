"""Every sentence the server says stands in its catalogue, so that another language is a file."""

import json
import os
import re
import shutil
from pathlib import Path

import pytest
from django import forms
from django.core.management import call_command
from django.template.base import Lexer, TokenType
from django.test import Client
from django.utils.functional import Promise

from shopfloor import words
from shopfloor.desk.forms import PromiseForm, SignInForm
from shopfloor.intake.forms import BookInForm
from shopfloor.jobs.models import Job
from shopfloor.sheets.printed import SENTENCES
from shopfloor.workshop.forms import ClosureForm, InstrumentForm, PersonForm, SettingsForm
from shopfloor.workshop.models import Person
from shopfloor.workshop.queries import holiday_names
from tests.factories import NOON
from tests.words.pseudo import SPOKEN_ATTRIBUTES, spoken, texts_of, unmarked

ROOT = Path(__file__).resolve().parents[2]
TEMPLATES = sorted((ROOT / "shopfloor").glob("**/templates/**/*.html"))
LETTERS = re.compile(r"[^\W\d_]{2,}")


def bare_words(source: str) -> list[str]:
    """What a template says outside its translate tags."""
    kept, inside = [], False
    for token in Lexer(source).tokenize():
        words = token.contents.split()
        if token.token_type is TokenType.BLOCK and words[0] == "blocktranslate":
            inside = True
        elif token.token_type is TokenType.BLOCK and words[0] == "endblocktranslate":
            inside = False
        elif token.token_type is TokenType.TEXT and not inside:
            kept.append(token.contents)
        else:
            kept.append("\x00")
    html = "".join(kept)
    spoken_attributes = "|".join(SPOKEN_ATTRIBUTES)
    attributes = re.findall(rf'(?:{spoken_attributes})="([^"]*)"', html)
    text = re.sub(r"(?s)<(script|style).*?</\1>|<!--.*?-->|<[^>]*>|&\w+;", "\x00", html)
    return [word for piece in (*attributes, text) for word in LETTERS.findall(piece)]


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.name)
def test_a_template_says_nothing_outside_its_translate_tags(path: Path) -> None:
    assert bare_words(path.read_text()) == []


def test_a_bare_word_in_a_template_is_found() -> None:
    source = '<p title="Bare">{% translate "told" %} said <b>{{ name }}</b></p>'
    assert bare_words(source) == ["Bare", "said"]


@pytest.mark.parametrize(
    "form", [SignInForm, PromiseForm, BookInForm, ClosureForm, InstrumentForm, PersonForm]
)
def test_every_label_of_a_form_waits_for_its_language(form: type[forms.Form]) -> None:
    said = [
        text
        for field in form.base_fields.values()
        for text in (field.label, field.help_text, *field.error_messages.values())
        if text
    ]
    assert said
    assert [text for text in said if not isinstance(text, Promise)] == []


def test_the_printed_sheet_says_what_the_catalogue_lists() -> None:
    source = (ROOT / "shopfloor" / "sheets" / "sheet.typ").read_text()
    said = set(re.findall(r'say\("([^"]+)"\)', source))
    assert said
    assert said <= set(SENTENCES)
    assert re.findall(r"\[[A-Z][a-z]+ [a-z ]+", source) == []


@pytest.mark.usefixtures("noon")
@pytest.mark.parametrize(
    "address",
    [
        "/board/",
        "/jobs/",
        "/jobs/new/",
        "/outbox/",
        "/calculators/",
        "/calculators/torque-wrench-setting/",
        "/calculators/brake-fluid-allowed/?system=DOT&bottle=water",
        "/workshop/",
        "/jobs/{job}/",
        "/jobs/{job}/sheet/",
    ],
)
def test_a_page_says_nothing_of_its_own(desk: Client, otto: Person, job: Job, address: str) -> None:
    with spoken():
        html = desk.get(address.format(job=job.id)).content.decode()
    known = data_words(otto, job)
    assert unmarked(texts_of(html)) - known == set()


def data_words(otto: Person, job: Job) -> set[str]:
    """Names, the bike, the steps of its route: what people and tables wrote, not the program."""
    told = [
        otto.name,
        otto.workshop.name,
        otto.workshop.currency,
        job.tag,
        job.customer.name,
        job.bike.words,
        "lbf kgf",
        job.says,
        " ".join(promise.why for promise in job.promises.all()),
        " ".join(holiday_names(otto.workshop, on=NOON.date()).values()),
        json.dumps(job.route, ensure_ascii=False),
        " ".join(f"{zone}" for zone in SettingsForm(shop=otto.workshop).fields["timezone"].choices),
    ]
    return set(re.findall(r"[^\W\d_]{3,}", " ".join(told)))


def test_the_catalogue_for_translators_holds_what_the_code_says_now(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if shutil.which("xgettext") is None and os.environ.get("CI") != "true":
        pytest.skip("GNU gettext is not installed: apt install gettext")
    shutil.copytree(
        ROOT / "shopfloor",
        tmp_path / "code",
        ignore=shutil.ignore_patterns("static", "locale", "fonts", "__pycache__"),
    )
    (tmp_path / "code" / "locale").mkdir()
    monkeypatch.chdir(tmp_path / "code")
    call_command(
        "makemessages", locale=["en"], extensions=["html", "py"], no_wrap=True, verbosity=0
    )
    fresh = sentences(tmp_path / "code" / "locale" / "en" / "LC_MESSAGES" / "django.po")
    kept = sentences(ROOT / "shopfloor" / "locale" / "en" / "LC_MESSAGES" / "django.po")
    assert len(fresh) > 500
    assert kept == fresh, "Run `make words`."


def sentences(catalogue: Path) -> set[str]:
    """What a file of GNU gettext lists, as written there."""
    return set(re.findall(r'^msgid(?:_plural)? "(.+)"$', catalogue.read_text(), re.MULTILINE))


def test_the_ground_floor_speaks_the_language_of_the_moment() -> None:
    with spoken():
        assert words.gettext("Note") == "‹Note›"
        assert words.ngettext("{n} job", "{n} jobs", 2) == "‹{n} jobs›"
    assert words.gettext("Note") == "Note"
    assert words.language() == "en-gb"
