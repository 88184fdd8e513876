"""A real server with the demo shop in its own folder; it can be killed and started again."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

from tests.servers import free_port, wait_for

ROOT = Path(__file__).resolve().parents[2]
PASSWORD = "stand-and-spanner"


class Shop:
    """The embedded server as a program of its own."""

    def __init__(self, var: Path) -> None:
        self.var = var
        # The program: another folder when the shop goes over to another version.
        self.root = ROOT
        self.port = free_port()
        self.url = f"http://localhost:{self.port}"
        self._process: subprocess.Popen[bytes] | None = None

    def _environment(self) -> dict[str, str]:
        kept = {k: v for k, v in os.environ.items() if not k.startswith(("SHOPFLOOR_", "DJANGO_"))}
        kept.pop("DATABASE_URL", None)
        own = {"SHOPFLOOR_VAR": str(self.var), "SHOPFLOOR_BASE_URL": self.url}
        return kept | own | {"SHOPFLOOR_SWEEP_SECONDS": "0.3"}

    def start(self) -> None:
        """Start it and wait until it answers."""
        with (self.var / "server.log").open("ab") as log:
            self._process = subprocess.Popen(
                [sys.executable, "-m", "worker.embedded", "--port", str(self.port)],
                cwd=self.root,
                env=self._environment(),
                stdout=log,
                stderr=log,
            )
        wait_for(self.port)

    def kill(self) -> None:
        """As a power cut would."""
        self._end(signal.SIGKILL)

    def stop(self) -> None:
        """As Ctrl-C would."""
        self._end(signal.SIGTERM)

    def _end(self, how: signal.Signals) -> None:
        if self._process is not None:
            self._process.send_signal(how)
            self._process.wait(timeout=20)
            self._process = None

    def command(self, *arguments: str) -> str:
        """What `python -m shopfloor …` prints."""
        done = subprocess.run(
            [sys.executable, "-m", "shopfloor", *arguments],
            cwd=self.root,
            env=self._environment(),
            capture_output=True,
            text=True,
            check=False,
        )
        if done.returncode:
            raise RuntimeError(done.stderr)
        return done.stdout

    def seed(self) -> None:
        """The demo shop, in an empty folder."""
        self.command("migrate", "--verbosity", "0")
        self.command("seed_demo")

    def run(self, code: str) -> str:
        """What Python code prints that runs with the shop's models at hand."""
        return self.command("shell", "--no-imports", "-c", MODELS + code).strip()

    def ask(self, expression: str) -> str:
        """The value of one expression over the shop's models, as text."""
        return self.run(f"print({expression})")

    def make_messages_due(self) -> None:
        """As if the customer's day and the shop had opened; returns when the texts are written."""
        self.run(
            "from django.utils import timezone\n"
            "Message.objects.filter(state='due').update(not_before=timezone.now())"
        )
        waiting = "Message.objects.filter(state__in=['due', 'writing']).count()"
        if until(lambda: self.ask(waiting), "0") != "0":
            raise TimeoutError("the worker wrote no texts")

    def log(self) -> str:
        """What the server complained about."""
        return (self.var / "server.log").read_text(errors="replace")


MODELS = """
import json
from shopfloor.jobs.models import *
from shopfloor.outbox.models import *
from shopfloor.workshop.models import *
"""


def until(ask, expected, *, seconds: float = 20):
    """Ask again until the answer is as expected; returns the last answer either way."""
    end = time.monotonic() + seconds
    while (answer := ask()) != expected and time.monotonic() < end:
        time.sleep(0.2)
    return answer
