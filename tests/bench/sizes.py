"""What a phone and a desk load: the built files, compressed as the server sends them at best."""

import gzip
import json
from collections.abc import Iterator
from pathlib import Path

BUILT = Path(__file__).resolve().parents[2] / "shopfloor" / "static" / "bench"


def figures() -> Iterator[tuple[str, str]]:
    """One line per script and style sheet, and what the bench needs in all."""
    manifest = json.loads((BUILT / "manifest.json").read_text())
    total = 0
    for name in ("page.js", "worker.js", "desk.js", "shopfloor.css"):
        raw = (BUILT.parent / manifest[name]).read_bytes()
        packed = len(gzip.compress(raw, 9))
        total += 0 if name == "desk.js" else packed
        yield name, f"{packed / 1000:.1f} kB ({len(raw) / 1000:.1f} kB unpacked)"
    yield "bench in all: page, worker, style", f"{total / 1000:.1f} kB"
