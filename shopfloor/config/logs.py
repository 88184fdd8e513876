"""What must never stand in a log: the secret part of a customer's link."""

import logging
import re

_LINK = re.compile(r"/([as])/[^/\s'\"]+")


class HideLinks(logging.Filter):
    """Blanks the token in every message and argument; the rest of the record stays."""

    def filter(self, record: logging.LogRecord) -> bool:
        """Always lets the record pass, mended."""
        record.msg = _hide(record.msg)
        if isinstance(record.args, tuple):
            record.args = tuple(_hide(arg) for arg in record.args)
        return True


def _hide(value: object) -> object:
    return _LINK.sub(r"/\1/…", value) if isinstance(value, str) else value
