"""The whole shop in one process: it starts, says where it is, and stops cleanly."""

import os
import signal
import socket
import subprocess
import sys
import urllib.request
from pathlib import Path

import pytest

from tests.servers import free_port, wait_for

ROOT = Path(__file__).resolve().parents[2]


def start(var: Path, port: int) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-m", "worker.embedded", "--port", str(port)],
        cwd=ROOT,
        env={**os.environ, "SHOPFLOOR_VAR": str(var), "DJANGO_SETTINGS_MODULE": ""},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


@pytest.mark.parametrize("ask", [signal.SIGTERM, signal.SIGINT])
def test_it_answers_and_stops_when_asked(tmp_path: Path, ask: signal.Signals):
    port = free_port()
    with start(tmp_path, port) as process:
        wait_for(port)
        first_line = next(line for line in process.stdout if line.strip())
        url = f"http://127.0.0.1:{port}/healthz"
        with urllib.request.urlopen(url, timeout=10) as page:
            status = page.status
        process.send_signal(ask)
        try:
            _, complaints = process.communicate(timeout=20)
        finally:
            # One that does not listen must fail the test, not hang it.
            process.kill()

    assert f"http://localhost:{port}" in first_line
    assert status == 200
    assert (process.returncode, complaints) == (0, "")


def test_a_port_that_is_taken_is_named_with_a_way_out(tmp_path: Path):
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        with start(tmp_path, port) as process:
            _, complaints = process.communicate(timeout=20)

    assert process.returncode == 1
    assert f"Port {port} on 127.0.0.1 is not free" in complaints
    assert f"make demo PORT={port + 1}" in complaints
    assert list(tmp_path.iterdir()) == []
