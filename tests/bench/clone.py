"""From `git clone` to a demo that answers, with every package fetched, and once more."""

import contextlib
import os
import shutil
import signal
import subprocess
import tempfile
import time
import urllib.request
from pathlib import Path

from tests.bench.figures import Figures
from tests.bench.stage import Stage
from tests.servers import free_port

ROOT = Path(__file__).resolve().parents[2]


def figures(_stage: Stage) -> Figures:
    """First and second start."""
    folder = Path(tempfile.mkdtemp(prefix="shopfloor-clone-"))
    try:
        started = time.monotonic()
        subprocess.run(["git", "clone", "-q", str(ROOT), str(folder / "shop")], check=True)
        yield "git clone", f"{time.monotonic() - started:.1f} s"
        yield "make demo until it answers, first time", f"{_serve(folder / 'shop'):.1f} s"
        yield "make demo until it answers, second time", f"{_serve(folder / 'shop'):.1f} s"
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _serve(folder: Path) -> float:
    port = free_port()
    kept = {name: value for name, value in os.environ.items() if not name.startswith("SHOPFLOOR_")}
    started = time.monotonic()
    process = subprocess.Popen(
        ["make", "demo", f"PORT={port}"],
        cwd=folder,
        env=kept,
        stdout=subprocess.DEVNULL,
        start_new_session=True,
    )
    try:
        while process.poll() is None and time.monotonic() - started < 900:
            with contextlib.suppress(OSError):
                urllib.request.urlopen(f"http://127.0.0.1:{port}/sign-in/", timeout=5).close()
                return time.monotonic() - started
            time.sleep(0.1)
        raise RuntimeError("make demo did not come up")
    finally:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGTERM)
        process.wait(timeout=20)
