"""
What a phone and a desk load: the built files, compressed as the server sends them at best, and what
the phone's scripts are made of.
"""

import gzip
import json
import subprocess
from collections.abc import Iterator
from pathlib import Path

from tests.bench.figures import Figures
from tests.bench.stage import Stage

ROOT = Path(__file__).resolve().parents[2]
BUILT = ROOT / "shopfloor" / "static" / "bench"
# The scripts and the style sheet that every page of the bench needs.
BENCH = ("worker.js", "page.js", "bench.css")
# Loaded where it is needed only, or by the desk.
BESIDE = ("install.js", "scan.js", "glyphs.svg", "desk.js", "shopfloor.css")
# A smaller part is not worth a line.
LEAST_SHARE = 0.03


def figures(_stage: Stage) -> Figures:
    """One line per file, the bench in all, and the parts of its scripts with their share."""
    manifest = json.loads((BUILT / "manifest.json").read_text())
    files = {name: BUILT.parent / manifest[name] for name in BENCH + BESIDE if name in manifest}
    languages = {name: BUILT.parent / file for name, file in manifest.items() if "words-" in name}
    for name, path in (files | languages).items():
        yield name, line(*sizes(path))
    in_all = [sizes(files[name]) for name in BENCH]
    yield "bench in all: " + ", ".join(BENCH), line(*map(sum, zip(*in_all, strict=True)))
    for script, parts in made_of().items():
        yield from shares(script, parts)


def sizes(path: Path) -> tuple[int, int, int]:
    """Plain, gzipped and packed by brotli, as the build left it."""
    plain = path.read_bytes()
    brotli = path.with_name(f"{path.name}.br").stat().st_size
    return len(plain), len(gzip.compress(plain, 9)), brotli


def line(plain: int, gzipped: int, brotli: int) -> str:
    sent = f"{gzipped / 1000:6.1f} kB gzip {brotli / 1000:6.1f} kB brotli"
    return f"{sent} {plain / 1000:7.1f} kB plain"


def made_of() -> dict[str, dict[str, int]]:
    """Bytes of each part of each script before compression."""
    told = subprocess.run(
        ["node", "made-of.mjs"], cwd=ROOT / "frontend", check=True, capture_output=True, text=True
    )
    scripts: dict[str, dict[str, int]] = json.loads(told.stdout)
    return scripts


def shares(script: str, parts: dict[str, int]) -> Iterator[tuple[str, str]]:
    """The parts from the largest down; the small ones together."""
    total = sum(parts.values())
    large = {part: size for part, size in parts.items() if size >= LEAST_SHARE * total}
    for part, size in sorted(large.items(), key=lambda row: -row[1]):
        yield f"  {script}: {part}", f"{size / total:4.0%} {size / 1000:7.1f} kB plain"
    rest = total - sum(large.values())
    yield f"  {script}: smaller parts", f"{rest / total:4.0%} {rest / 1000:7.1f} kB plain"
