"""What Lighthouse says of the phone's and the desk's main pages, and what keeps it below 100."""

import json
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from playwright.sync_api import sync_playwright

from tests.bench.figures import Figures
from tests.bench.stage import Stage
from tests.bench.tick import OPEN_JOB
from tests.e2e.browser import Phone, open_bench
from tests.servers import Missing, free_port

# The last that runs on Node 20.
PACKAGE = "lighthouse@12.2.3"
CATEGORIES = ("performance", "accessibility", "best-practices")
NOT_THERE = f"{PACKAGE} is not here and could not be fetched (no network, or no npx)"
LONGEST = 300


def figures(stage: Stage) -> Figures:
    """The job's page as a phone has it, worker and all; the board as a desk has it. Signed in."""
    if not _is_there():
        yield "Lighthouse", NOT_THERE
        return
    shop, port = stage.shop(), free_port()
    shop.start()
    with sync_playwright() as driver:
        phone = Phone(driver, stage.profile(), shop, args=[f"--remote-debugging-port={port}"])
        try:
            open_bench(phone.open(), "mira")
            job = f"{shop.url}/bench/jobs/{shop.ask(OPEN_JOB)}"
            for name, address, screen in (
                ("the phone's job page", job, []),
                ("the desk's board", f"{shop.url}/board/", ["--preset=desktop"]),
            ):
                report = _run(address, port, stage.folder / "lighthouse.json", screen)
                yield name, _scores(report)
                yield from _losses(report)
        finally:
            phone.close()
            shop.stop()


def _command(*arguments: str) -> list[str]:
    return ["npx", "--yes", PACKAGE, *arguments]


def _is_there() -> bool:
    if shutil.which("npx") is None:
        return False
    try:
        told = subprocess.run(
            _command("--version"), capture_output=True, timeout=LONGEST, check=False
        )
    except subprocess.TimeoutExpired:
        return False
    return told.returncode == 0


def _run(address: str, port: int, target: Path, screen: list[str]) -> dict[str, Any]:
    """Raises Missing when there is no report."""
    only = f"--only-categories={','.join(CATEGORIES)}"
    # What is stored is what is looked at: a phone that is known, with its worker and its jobs.
    kept = ["--disable-storage-reset", f"--port={port}", "--quiet"]
    out = ["--output=json", f"--output-path={target}"]
    command = _command(address, *kept, *out, *screen, only)
    done = subprocess.run(command, capture_output=True, text=True, timeout=LONGEST, check=False)
    if done.returncode != 0:
        raise Missing(f"Lighthouse gave up: {done.stderr.strip()[-300:]}")
    report: dict[str, Any] = json.loads(target.read_text())
    return report


def _scores(report: dict[str, Any]) -> str:
    found = ((name, report["categories"][name]["score"]) for name in CATEGORIES)
    return ", ".join(f"{name} {round((score or 0) * 100)}" for name, score in found)


def _losses(report: dict[str, Any]) -> Iterator[tuple[str, str]]:
    """What weighs in and is not whole."""
    for name in CATEGORIES:
        for part in report["categories"][name]["auditRefs"]:
            audit = report["audits"][part["id"]]
            if part["weight"] > 0 and audit["score"] is not None and audit["score"] < 1:
                yield f"  {name}: {audit['title']}", audit.get("displayValue") or "not met"
