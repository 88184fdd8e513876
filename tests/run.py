"""
Every check of the project, one after another: `python tests/run.py [check]`. All run even when
one fails; what cannot run here says so in one line, and fails where CI=true.
"""

import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from xml.etree import ElementTree

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from tests import servers  # noqa: E402
from tests.beside import Beside  # noqa: E402

PYTHON = sys.executable
BIN = Path(PYTHON).parent
FRONTEND = ROOT / "frontend"
OPENAPI = ROOT / "fixtures" / "wire" / "openapi.json"
WIRE_TYPES = FRONTEND / "src" / "sync" / "wire-types.ts"
IN_CI = os.environ.get("CI", "").lower() in {"1", "true", "yes"}


@dataclass
class Result:
    """How one stage ended; a stage without counts of its own is one check."""

    passed: int = 0
    failed: int = 0
    skipped: int = 0
    notes: list[str] = field(default_factory=list)

    @classmethod
    def of(cls, *, ok: bool, note: str = "") -> "Result":
        return cls(passed=int(ok), failed=int(not ok), notes=[note] if note else [])


Stage = Callable[[Path], Result]


def run(*command: str | Path, cwd: Path = ROOT, **environment: str | None) -> bool:
    """Run one command with its output on the screen; a variable that is None is taken away."""
    variables = {**os.environ, **environment}
    done = subprocess.run(
        [str(part) for part in command],
        cwd=cwd,
        env={name: value for name, value in variables.items() if value is not None},
        stdin=subprocess.DEVNULL,
        check=False,
    )
    return done.returncode == 0


def tool(*command: str, cwd: Path = ROOT) -> Stage:
    return lambda _folder: Result.of(ok=run(*command, cwd=cwd))


def counted(report: Path, *, ok: bool) -> Result:
    """Counts out of a JUnit report; a runner that failed without a failed test counts as one."""
    result = Result()
    if report.exists():
        for suite in ElementTree.parse(report).getroot().iter("testsuite"):
            bad = int(suite.get("failures", 0)) + int(suite.get("errors", 0))
            skipped = int(suite.get("skipped", 0))
            result.failed += bad
            result.skipped += skipped
            result.passed += int(suite.get("tests", 0)) - bad - skipped
    if not ok and not result.failed:
        result.failed = 1
    if ok and not result.passed:
        return Result(failed=1, notes=["ran no test"])
    return result


def pytest(folder: Path, name: str, *arguments: str, **environment: str | None) -> Result:
    report = folder / f"{name}.xml"
    command = [PYTHON, "-m", "pytest", "-q", f"--junitxml={report}", *arguments]
    return counted(report, ok=run(*command, **environment))


def templates(_folder: Path) -> Result:
    pages = [str(page) for page in ROOT.glob("shopfloor/**/templates/**/*.html")]
    return Result.of(ok=run(BIN / "djade", "--target-version", "5.2", "--check", *pages))


def migrations(folder: Path) -> Result:
    command = [PYTHON, "-m", "shopfloor", "makemigrations", "--check", "--dry-run"]
    return Result.of(ok=run(*command, SHOPFLOOR_VAR=str(folder), DATABASE_URL=None))


def wire(folder: Path) -> Result:
    """The description of the wire and the phone's types are what the server's code says."""
    fresh, types = folder / "openapi.json", folder / "wire-types.ts"
    spectacular = [PYTHON, "-m", "shopfloor", "spectacular", "--format", "openapi-json"]
    made = run(*spectacular, "--validate", "--file", fresh, SHOPFLOOR_VAR=str(folder)) and run(
        "npx", "--no-install", "openapi-typescript", fresh, "-o", types, cwd=FRONTEND
    )
    if not made:
        return Result.of(ok=False)
    stale = [
        str(kept.relative_to(ROOT))
        for kept, new in ((OPENAPI, fresh), (WIRE_TYPES, types))
        if not kept.exists() or kept.read_text() != new.read_text()
    ]
    if stale:
        print("Out of date:", ", ".join(stale), "— run: make wire")
    return Result.of(ok=not stale)


def vitest(folder: Path) -> Result:
    report = folder / "vitest.xml"
    reporters = ["--reporter=default", "--reporter=junit", f"--outputFile.junit={report}"]
    ok = run("npx", "--no-install", "vitest", "run", *reporters, cwd=FRONTEND)
    return counted(report, ok=ok)


def on_sqlite(folder: Path) -> Result:
    wanted = "not browser and not postgres and not redis"
    return pytest(folder, "sqlite", "-n", "2", "-m", wanted, DATABASE_URL=None)


def on_postgres(folder: Path) -> Result:
    """All that touches the database once more, but for the demo: it is the embedded shop's."""
    with servers.postgres() as url:
        wanted = "(database or postgres) and not browser and not redis"
        less = ["--ignore", "tests/demo"]
        return pytest(folder, "postgres", "-n", "2", "-m", wanted, *less, DATABASE_URL=url)


def worker(folder: Path) -> Result:
    servers.redis_program()
    return pytest(folder, "worker", "-m", "redis", DATABASE_URL=None)


def begin_faults(folder: Path) -> None:
    """They only compute: from the beginning they take what the other stages leave."""
    program = [PYTHON, str(ROOT / "tests" / "faults" / "run.py"), "--seeds", "500", "--broken"]
    report = ["--report", str(folder / "faults.json")]
    _begun[folder] = Beside([*program, *report], folder / "faults.txt", DATABASE_URL=None)


def faults(folder: Path) -> Result:
    """Simulated phones and the real server through every fault; see DEVELOPERS.md."""
    ok = _begun.pop(folder).ended_well()
    report = folder / "faults.json"
    if not report.exists():
        return Result.of(ok=False)
    counts = json.loads(report.read_text())
    return Result(passed=counts["passed"], failed=max(counts["failed"], int(not ok)))


_begun: dict[Path, Beside] = {}


def browser(folder: Path) -> Result:
    _bring_chromium()
    return pytest(folder, "browser", "-m", "browser", DATABASE_URL=None)


def _bring_chromium() -> None:
    """On a Debian machine that lets us, install what is missing."""
    try:
        servers.chromium()
    except servers.Missing:
        if os.getuid() != 0 or shutil.which("apt-get") is None:
            raise
        print("Chromium is not here: installing Debian's …", flush=True)
        run("apt-get", "update", "-qq")
        run("apt-get", "install", "-y", "-qq", "chromium", DEBIAN_FRONTEND="noninteractive")
    servers.chromium()


CHECKS: dict[str, Stage] = {
    "format": tool(str(BIN / "ruff"), "format", "--check", "."),
    "lint": tool(str(BIN / "ruff"), "check", "."),
    "templates": templates,
    "types": tool(str(BIN / "mypy")),
    "layers": tool(str(BIN / "lint-imports")),
    "migrations": migrations,
    "front end: lint, types, unused": tool("npm", "run", "--silent", "check", cwd=FRONTEND),
}
TESTS: dict[str, Stage] = {
    "wire between phone and server": wire,
    "front end: tests": vitest,
    "server on SQLite": on_sqlite,
    "server on PostgreSQL": on_postgres,
    "worker on Redis": worker,
    "journeys in Chromium": browser,
    "faults": faults,
}


def attempt(stage: Stage, folder: Path) -> Result:
    """A stage whose program is missing is skipped where a person runs it, and fails in CI."""
    try:
        return stage(folder)
    except servers.Missing as missing:
        print(f"{'FAILED' if IN_CI else 'SKIPPED'}: {missing}")
        return Result(failed=int(IN_CI), skipped=int(not IN_CI), notes=[str(missing)])


def main(wanted: list[str]) -> int:
    stages = CHECKS if wanted == ["check"] else {**CHECKS, **TESTS}
    with tempfile.TemporaryDirectory(prefix="shopfloor-run-") as folder:
        rows = _run_all(stages, Path(folder))
    _summary(rows)
    _keep_times(rows, whole=stages is not CHECKS)
    return int(any(result.failed for _, result, _ in rows))


def _run_all(stages: dict[str, Stage], folder: Path) -> list[tuple[str, Result, float]]:
    rows = []
    if faults in stages.values():
        begin_faults(folder)
    try:
        for name, stage in stages.items():
            print(f"\n── {name}", flush=True)
            started = time.monotonic()
            result = attempt(stage, folder)
            rows.append((name, result, time.monotonic() - started))
            print(f"── {name}: {_verdict(result)}, {rows[-1][2]:.1f} s", flush=True)
    finally:
        for beside in _begun.values():
            beside.stop()
    return rows


def _verdict(result: Result) -> str:
    return "FAILED" if result.failed else "passed" if result.passed else "skipped"


def _summary(rows: list[tuple[str, Result, float]]) -> None:
    print(f"\n{'stage':34}{'':9}{'passed':>7}{'failed':>7}{'skipped':>8}{'seconds':>9}")
    for name, result, seconds in rows:
        counts = f"{result.passed:>7}{result.failed:>7}{result.skipped:>8}"
        print(f"{name:34}{_verdict(result):9}{counts}{seconds:>9.1f}", *result.notes)
    print(f"{'':66}{sum(seconds for *_, seconds in rows):>8.1f}\n")
    passed, failed = (sum(getattr(r, n) for _, r, _ in rows) for n in ("passed", "failed"))
    print(f"{passed} passed, {failed} failed")


def _keep_times(rows: list[tuple[str, Result, float]], *, whole: bool) -> None:
    """For `make bench`: how long the last whole run took."""
    if whole:
        kept = ROOT / "var" / "last-test-run.json"
        kept.parent.mkdir(exist_ok=True)
        kept.write_text(json.dumps({name: round(seconds, 1) for name, _, seconds in rows}))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
