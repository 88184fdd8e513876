"""{% asset "shopfloor.css" %}: the address of a built file, under its hashed name."""

import json
from functools import cache
from pathlib import Path

from django import template
from django.templatetags.static import static

register = template.Library()
MANIFEST = Path(__file__).resolve().parents[2] / "static" / "bench" / "manifest.json"


class AssetsNotBuilt(Exception):
    """The style sheet and scripts are missing, or older than the template that asks for them."""


@cache
def _read(manifest: Path, changed_ns: int) -> dict[str, str]:
    # The file's time is part of the key, so that a rebuild shows without a restart.
    files: dict[str, str] = json.loads(manifest.read_text(encoding="utf-8"))
    return files


def built_version() -> str:
    """The version of the bench that phones get now; empty before the first build."""
    try:
        return _read(MANIFEST, MANIFEST.stat().st_mtime_ns).get("version", "")
    except FileNotFoundError:
        return ""


@register.simple_tag
def asset(name: str) -> str:
    """The static address of a built file."""
    try:
        files = _read(MANIFEST, MANIFEST.stat().st_mtime_ns)
    except FileNotFoundError:
        raise AssetsNotBuilt(
            "The style sheet and scripts are not built yet. "
            "Run `make build`, then load this page again."
        ) from None
    if name not in files:
        raise AssetsNotBuilt(f"{name} is not among the built files. Run `make build` again.")
    return static(files[name])
