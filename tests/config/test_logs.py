"""The secret of a customer's link never reaches a log."""

import logging

import pytest

from shopfloor.config.logs import HideLinks


@pytest.mark.parametrize(
    ("message", "args", "shown"),
    [
        ("Not Found: %s", ("/a/AbC123/",), "Not Found: /a/…/"),
        ("Not Found: %s", ("/s/AbC123/sheet.pdf",), "Not Found: /s/…/sheet.pdf"),
        ("GET /a/AbC123/check/ 200", (), "GET /a/…/check/ 200"),
        ("%s took %d ms", ("/board/", 7), "/board/ took 7 ms"),
    ],
)
def test_tokens_are_blanked(message: str, args: tuple[object, ...], shown: str) -> None:
    record = logging.LogRecord("x", logging.INFO, "", 0, message, args, None)

    assert HideLinks().filter(record)
    assert record.getMessage() == shown
