"""PostgreSQL and Redis for one run of the tests: private, on free ports, gone afterwards."""

import contextlib
import os
import shutil
import socket
import subprocess
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path


class Missing(Exception):
    """The program is not installed; the message says what to do."""


def free_port() -> int:
    """A port that nobody uses just now."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def wait_for(port: int, *, seconds: float = 20) -> None:
    """Return when something listens; raises TimeoutError."""
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", port), 1):
            return
        time.sleep(0.05)
    raise TimeoutError(f"nothing listens on port {port} after {seconds:g} s")


@contextlib.contextmanager
def postgres(*, durable: bool = False) -> Iterator[str]:
    """
    The URL of a database: SHOPFLOOR_TEST_DATABASE_URL, or that of a server of our own, which
    waits for the disk only where that is what is measured.
    """
    given = os.environ.get("SHOPFLOOR_TEST_DATABASE_URL")
    if given:
        yield given
        return
    programs = _postgres_programs()
    folder = Path(tempfile.mkdtemp(prefix="shopfloor-postgres-"))
    # PostgreSQL refuses to run as root; Debian's package brings a user for it.
    owner = {"user": "postgres", "cwd": "/"} if os.getuid() == 0 else {}
    if owner:
        shutil.chown(folder, "postgres")
    port = free_port()
    fsync = "on" if durable else "off"
    options = f"-p {port} -c listen_addresses=127.0.0.1 -k {folder} -c fsync={fsync}"
    quiet = {"check": True, "stdout": subprocess.DEVNULL, **owner}
    data = ["-D", str(folder / "data")]
    initdb = [str(programs / "initdb"), *data, "-U", "shopfloor", "-A", "trust", "--no-sync"]
    control = [str(programs / "pg_ctl"), *data, "-w", "-s"]
    try:
        subprocess.run([*initdb, "-E", "UTF8", "--locale=C.UTF-8"], **quiet)
        subprocess.run([*control, "-o", options, "-l", str(folder / "log"), "start"], **quiet)
        yield f"postgres://shopfloor@127.0.0.1:{port}/postgres"
    finally:
        subprocess.run([*control, "-m", "immediate", "stop"], **{**quiet, "check": False})
        shutil.rmtree(folder, ignore_errors=True)


def _postgres_programs() -> Path:
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    on_path = shutil.which("initdb")
    if found:
        return found[-1].parent
    if on_path:
        return Path(on_path).parent
    raise Missing("PostgreSQL is not installed (Debian: apt-get install postgresql)")


def redis_program() -> str:
    """Where Redis is."""
    program = shutil.which("redis-server")
    if program is None:
        raise Missing("Redis is not installed (Debian: apt-get install redis-server)")
    return program


class Redis:
    """A Redis server that forgets everything when it stops; it can be killed and started again."""

    def __init__(self, folder: Path) -> None:
        self.port = free_port()
        self.url = f"redis://127.0.0.1:{self.port}/0"
        self._folder = folder
        self.start()

    def start(self) -> None:
        """Start it and wait until it answers."""
        place = ["--port", str(self.port), "--bind", "127.0.0.1", "--dir", str(self._folder)]
        command = [redis_program(), *place, "--save", ""]
        self._process = subprocess.Popen(command, stdout=subprocess.DEVNULL)
        wait_for(self.port)

    def kill(self) -> None:
        """As a power cut would."""
        self._process.kill()
        self._process.wait()


def chromium() -> str:
    """The path of Chromium: SHOPFLOOR_CHROMIUM, or the system's."""
    named = os.environ.get("SHOPFLOOR_CHROMIUM")
    for name in [named] if named else ["chromium", "chromium-browser", "google-chrome"]:
        found = shutil.which(name)
        if found:
            return found
    raise Missing(
        "Chromium was not found (Debian: apt-get install chromium; "
        "elsewhere name it: SHOPFLOOR_CHROMIUM=/path/to/chromium)"
    )
