"""Is the service worker small on the way, and not sent to a phone that has it?"""

import gzip
from pathlib import Path

import pytest
from django.http import HttpResponse
from django.test import Client

from shopfloor.sync import views
from shopfloor.sync.packing import accepted
from shopfloor.workshop.templatetags import assets

SCRIPT = b"addEventListener('fetch', answer)"
ZIPPED = gzip.compress(SCRIPT, mtime=0)


@pytest.fixture(autouse=True)
def built(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A build of one file, with its packed forms beside it."""
    (tmp_path / "worker.js").write_bytes(SCRIPT)
    (tmp_path / "worker.js.gz").write_bytes(ZIPPED)
    (tmp_path / "worker.js.br").write_bytes(b"as brotli packs it")
    (tmp_path / "manifest.json").write_text('{"version": "5f00d"}')
    monkeypatch.setattr(views, "BUILD", tmp_path)
    monkeypatch.setattr(assets, "MANIFEST", tmp_path / "manifest.json")
    return tmp_path


def fetch(**headers: str) -> HttpResponse:
    return Client().get("/bench/worker.js", headers=headers)


@pytest.mark.parametrize(
    ("takes", "encoding", "body"),
    [
        ("gzip, deflate, br, zstd", "br", b"as brotli packs it"),
        ("gzip, deflate", "gzip", ZIPPED),
        ("br;q=0, gzip;q=0.5", "gzip", ZIPPED),
        ("", None, SCRIPT),
    ],
    ids=["brotli", "gzip", "no brotli", "plain"],
)
def test_it_comes_as_small_as_the_browser_can_take(
    takes: str, encoding: str | None, body: bytes
) -> None:
    response = fetch(**{"Accept-Encoding": takes})

    assert response.get("Content-Encoding") == encoding
    assert response.content == body
    assert "Accept-Encoding" in response["Vary"]
    assert response["Content-Type"] == "text/javascript; charset=utf-8"
    assert response["Cache-Control"] == "no-cache"
    assert response["Service-Worker-Allowed"] == "/bench/"


@pytest.mark.parametrize("takes", ["br", "gzip", ""])
def test_a_phone_that_has_this_version_is_sent_nothing(takes: str) -> None:
    first = fetch(**{"Accept-Encoding": takes})

    again = fetch(**{"Accept-Encoding": takes, "If-None-Match": first["ETag"]})

    assert again.status_code == 304
    assert again.content == b""
    assert again["ETag"] == first["ETag"]


def test_another_build_is_sent(built: Path) -> None:
    first = fetch()

    (built / "manifest.json").write_text('{"version": "c0ffee"}')

    again = fetch(**{"If-None-Match": first["ETag"]})
    assert (again.status_code, again["ETag"]) == (200, '"c0ffee"')


def test_without_a_build_it_is_said_how_to_make_one(built: Path) -> None:
    (built / "manifest.json").unlink()

    answer = fetch()

    assert answer.status_code == 404
    assert "make build" in answer.content.decode()


def test_an_encoding_of_weight_nought_is_not_wanted() -> None:
    assert accepted("gzip; q=0.0, br ;q=1.0, zstd") == {"br", "zstd"}
