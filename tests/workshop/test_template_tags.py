"""The signs and built files that every page asks for."""

import json

import pytest
from django.template import Context, Template

from shopfloor.workshop.templatetags import assets
from shopfloor.workshop.templatetags.glyphs import UnknownGlyph, glyphs


def _drawn(source: str) -> str:
    return Template(source).render(Context())


def test_a_chip_says_its_word_beside_its_shape():
    drawn = _drawn('{% load glyphs %}{% chip "measure again" %}')

    assert 'class="chip measure-again"' in drawn
    assert glyphs()["measure-again"]["path"] in drawn
    assert drawn.endswith(" measure again</span>")


@pytest.mark.parametrize(
    "name",
    ["sound", "watch", "renew", "unsafe", "measure again"],
)
def test_every_verdict_has_a_shape_of_its_own(name):
    path = glyphs()[name.replace(" ", "-")]["path"]

    assert [other["path"] for other in glyphs().values()].count(path) == 1


@pytest.mark.parametrize(
    "name", ["booked", "on the stand", "asking", "parts", "ready", "collected", "cancelled"]
)
def test_every_place_has_a_shape_of_its_own(name):
    path = glyphs()[name.replace(" ", "-")]["path"]

    assert [other["path"] for other in glyphs().values()].count(path) == 1


def test_an_unknown_sign_is_refused_by_name():
    with pytest.raises(UnknownGlyph, match="no glyph 'spanner'"):
        _drawn('{% load glyphs %}{% glyph "spanner" %}')


def test_a_missing_build_says_what_to_run(tmp_path, monkeypatch):
    monkeypatch.setattr(assets, "MANIFEST", tmp_path / "manifest.json")

    with pytest.raises(assets.AssetsNotBuilt, match="make build"):
        assets.asset("shopfloor.css")


def test_a_rebuild_shows_at_once(tmp_path, monkeypatch):
    manifest = tmp_path / "manifest.json"
    monkeypatch.setattr(assets, "MANIFEST", manifest)
    manifest.write_text(json.dumps({"shopfloor.css": "bench/shopfloor-1.css"}))

    address = assets.asset("shopfloor.css")

    assert address == "/static/bench/shopfloor-1.css"
