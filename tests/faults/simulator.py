"""Bundles the simulator and the phone's code, and lives seeds in a process of their own."""

import atexit
import functools
import json
import os
import shutil
import subprocess
import sys
import tempfile
import threading
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from queue import Empty, Queue
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
HERE = Path(__file__).parent
# Only one that goes round for ever takes so long, even where all else on the machine goes first.
PATIENCE_SECONDS = 1200
# A run makes much that is soon forgotten: with room for it little is looked through twice.
NODE = ["node", "--max-semi-space-size=64"]

_one_by_one = threading.Lock()

Patch = dict[str, str]
Outcome = dict[str, Any]


class CannotRun(Exception):
    """The programme itself does not start; the message says why."""


@dataclass(frozen=True)
class Built:
    """Where the bundles are, and what was broken in them on purpose."""

    folder: Path
    broken: Sequence[Patch] = ()


def build(folder: Path, broken: Sequence[Patch] = ()) -> Built:
    """Bundle; raises CannotRun."""
    folder.mkdir(parents=True, exist_ok=True)
    command = ["node", str(HERE / "bundle.mjs"), str(folder), json.dumps(list(broken))]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    if done.returncode:
        raise CannotRun(done.stderr.strip() or done.stdout.strip())
    return Built(folder, broken)


def empty_database() -> Path:
    """Every table and no row: made once, and every server starts from a copy. Raises CannotRun."""
    with _one_by_one:
        return _migrated()


@functools.cache
def _migrated() -> Path:
    folder = tempfile.mkdtemp(prefix="shopfloor-faults-")
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    # By the shop's own settings: those for tests may take another folder.
    own = {"SHOPFLOOR_VAR": folder, "DJANGO_SETTINGS_MODULE": "shopfloor.config.settings"}
    environment = os.environ | own
    environment.pop("DATABASE_URL", None)
    command = [sys.executable, "-m", "shopfloor", "migrate", "--verbosity", "0"]
    done = subprocess.run(
        command, cwd=ROOT, env=environment, capture_output=True, text=True, check=False
    )
    if done.returncode:
        raise CannotRun(done.stderr.strip() or done.stdout.strip())
    return Path(folder, "shopfloor.sqlite3")


def outcomes(built: Built, seeds: Sequence[str], **wanted: bool) -> Iterator[Outcome]:
    """Live these seeds one after another."""
    asked = {
        "seeds": list(seeds),
        "phone": str(built.folder / "phone.js"),
        "library": str(built.folder / "library.js"),
        "python": sys.executable,
        "empty": str(empty_database()),
        "root": str(ROOT),
        "broken": [patch for patch in built.broken if patch["file"].endswith(".py")],
    }
    command = [*NODE, str(built.folder / "simulator.mjs"), json.dumps(asked | wanted)]
    process = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True)
    lines: Queue[str | None] = Queue()
    pouring = threading.Thread(target=_pour, args=(process, lines), daemon=True)
    pouring.start()
    told = 0
    try:
        while (line := lines.get(timeout=PATIENCE_SECONDS)) is not None:
            told += 1
            yield json.loads(line)
    except Empty:
        yield _stuck(seeds[told], f"no end after {PATIENCE_SECONDS} s")
    finally:
        process.kill()
        pouring.join()
        process.communicate()
    if process.returncode > 0:
        yield _stuck(seeds[min(told, len(seeds) - 1)], f"ended with {process.returncode}")


def _pour(process: "subprocess.Popen[str]", lines: "Queue[str | None]") -> None:
    assert process.stdout is not None
    for line in process.stdout:
        lines.put(line)
    process.wait()
    lines.put(None)


def _stuck(seed: str, why: str) -> Outcome:
    return {"seed": seed, "wrong": [why], "phones": 0, "counts": {}, "lines": [], "hash": ""}
