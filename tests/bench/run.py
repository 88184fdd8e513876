"""
How big, how fast, how long: `make bench` prints figures and judges none of them. With --clone it
also times a fresh clone until the demo answers, which downloads every package.
"""

import json
import os
import platform
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from tests import servers  # noqa: E402
from tests.bench import board, clone, sizes, sync, tick  # noqa: E402
from tests.e2e.shop import Shop  # noqa: E402

Figures = Iterator[tuple[str, str]]


def test_times() -> Figures:
    """How long the stages of the last `make test` took."""
    kept = ROOT / "var" / "last-test-run.json"
    if not kept.exists():
        yield "make test", "not run here yet"
        return
    stages = json.loads(kept.read_text())
    yield "make test, all stages", f"{sum(stages.values()):.0f} s"
    for name, seconds in sorted(stages.items(), key=lambda row: -row[1])[:4]:
        yield f"  {name}", f"{seconds:.0f} s"


def show(title: str, figures: Figures) -> None:
    print(f"\n{title}")
    for name, value in figures:
        print(f"  {name:52} {value}", flush=True)


def main(arguments: list[str]) -> int:
    busy = f"load {os.getloadavg()[0]:.1f}"
    print(
        f"{platform.machine()}, {os.cpu_count()} cores, {busy}, Python {platform.python_version()}"
    )
    show("Size, gzip -9", sizes.figures())
    with tempfile.TemporaryDirectory(prefix="shopfloor-bench-") as folder:
        shop = Shop(Path(folder))
        shop.seed()
        show("Board with 200 open jobs", board.figures(shop))
        show("Sync of 10,000 entries over HTTP, headers counted", sync.figures())
        try:
            show("A tick, from the tap to the painted answer", tick.figures(shop, Path(folder)))
        except servers.Missing as missing:
            print(f"  {missing}")
    if "--clone" in arguments:
        show("From nothing to the demo", clone.figures())
    show("Tests", test_times())
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
