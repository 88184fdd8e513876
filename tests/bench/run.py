"""
How big, how fast, how long: `make bench` prints figures and judges none of them. Named sections
are measured alone (`make bench ONLY="tick cold"`); `clone` only when it is named, for it
downloads every package.
"""

import json
import os
import platform
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from tests import servers  # noqa: E402
from tests.bench import (  # noqa: E402
    board,
    clone,
    cold,
    lighthouse,
    many,
    pull,
    routes,
    sheet,
    sizes,
    slowlink,
    sync,
    tick,
)
from tests.bench.figures import Figures  # noqa: E402
from tests.bench.stage import Stage  # noqa: E402


def suite_times(_stage: Stage) -> Figures:
    """How long the stages of the last `make test` took."""
    kept = ROOT / "var" / "last-test-run.json"
    if not kept.exists():
        yield "make test", "not run here yet"
        return
    stages = json.loads(kept.read_text())
    yield "make test, all stages", f"{sum(stages.values()):.0f} s"
    for name, seconds in sorted(stages.items(), key=lambda row: -row[1])[:4]:
        yield f"  {name}", f"{seconds:.0f} s"


SECTIONS: dict[str, tuple[str, Callable[[Stage], Figures]]] = {
    "size": ("Size, gzip -9", sizes.figures),
    "board": ("Board with 200 open jobs", board.figures),
    "sync": ("Sync of 10,000 entries over HTTP, headers counted", sync.figures),
    "pull": ("A new phone fetches 10,000 entries", pull.figures),
    "slowlink": ("1,000 entries over 300 ms and 400 kbit/s", slowlink.figures),
    "tick": ("A tick, from the tap to the painted answer", tick.figures),
    "cold": ("Cold start of a job's page, no server", cold.figures),
    "many": ("100,000 entries on one phone", many.figures),
    "sheet": ("Service sheet", sheet.figures),
    "routes": ("Routes", routes.figures),
    "lighthouse": ("Lighthouse", lighthouse.figures),
    "clone": ("From nothing to the demo", clone.figures),
    "tests": ("Tests", suite_times),
}
ONLY_WHEN_NAMED = {"clone"}


def show(name: str, stage: Stage) -> None:
    """One section; what it needs and does not find is said."""
    title, figures = SECTIONS[name]
    print(f"\n{title} ({name}; load {os.getloadavg()[0]:.1f})")
    try:
        for row, value in figures(stage):
            print(f"  {row:52} {value}", flush=True)
    except servers.Missing as missing:
        print(f"  {missing}")


def main(wanted: list[str]) -> int:
    """0, or 2 when a section has no such name."""
    unknown = [name for name in wanted if name not in SECTIONS]
    if unknown:
        print(f"No section {', '.join(unknown)}; there are {', '.join(SECTIONS)}.")
        return 2
    print(f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}")
    with tempfile.TemporaryDirectory(prefix="shopfloor-bench-") as folder:
        stage = Stage(Path(folder))
        for name in wanted or [name for name in SECTIONS if name not in ONLY_WHEN_NAMED]:
            show(name, stage)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
