"""
Slows a whole browser, as a slow phone is slow: page, worker, storage and all.

The browser's own slow-down (Emulation.setCPUThrottlingRate) reaches the page's thread alone: on a
service worker Chromium answers "Operation is only supported for pages, not workers". So the
kernel does it, and gives each process of the browser a share of a core of its own: a phone has
several cores, each of them slow. Where there is no right to do that, all processes are stopped and
let go on in turns.

Either way the browser runs and stands still by turns. A piece of work that is shorter than a turn
may go through at full speed or wait for a whole turn; the average is right, the figures spread.
"""

import contextlib
import os
import signal
import threading
import time
from collections.abc import Iterator
from pathlib import Path

GROUPS = Path("/sys/fs/cgroup")
# The kernel grants a millisecond at least, and looks at running processes every few.
TURN_US = 12_000
LOOK_S = 0.05


@contextlib.contextmanager
def each_process(profile: Path, share: float) -> Iterator[str]:
    """Give every process of the browser on that profile so much of a core; yields how, in words."""
    brake = _brake(share)
    ended = threading.Event()

    def keep_watch() -> None:
        while not ended.wait(LOOK_S):
            brake.hold(_family(profile))

    brake.hold(_family(profile))
    watch = threading.Thread(target=keep_watch, daemon=True)
    watch.start()
    try:
        yield brake.words
    finally:
        ended.set()
        watch.join()
        brake.release()


def _family(profile: Path) -> set[int]:
    """The browser on that profile and all that it started."""
    named = f"--user-data-dir={profile}".encode()
    for place in Path("/proc").glob("[0-9]*"):
        with contextlib.suppress(OSError):
            words = (place / "cmdline").read_bytes().split(b"\0")
            if named in words and not any(word.startswith(b"--type=") for word in words):
                return _with_children(int(place.name))
    return set()


def _with_children(process: int) -> set[int]:
    found = {process}
    with contextlib.suppress(OSError):
        for listed in Path(f"/proc/{process}/task").glob("*/children"):
            for child in listed.read_text().split():
                found |= _with_children(int(child))
    return found


def _brake(share: float) -> "Quota | StopAndGo":
    for root, version in ((GROUPS / "cpu", 1), (GROUPS, 2)):
        with contextlib.suppress(OSError):
            return Quota(root, version, share)
    return StopAndGo(share)


class Quota:
    """By control groups of the kernel, version 1 or 2; one group for each process."""

    def __init__(self, root: Path, version: int, share: float) -> None:
        """Raises OSError where there is no right to it."""
        self._root, self._is_new = root, version == 2
        self._run = round(share * TURN_US)
        self._held: dict[int, Path] = {}
        self._own = root / f"shopfloor-figures-{os.getpid()}"
        self._own.mkdir()
        try:
            if self._is_new:
                (self._own / "cgroup.subtree_control").write_text("+cpu")
            # What else goes on here should not count: within its share the browser goes first.
            name, most = ("cpu.weight", 10_000) if self._is_new else ("cpu.shares", 200_000)
            (self._own / name).write_text(str(most))
            self._make("probe").rmdir()
        except OSError:
            self._own.rmdir()
            raise
        self.words = (
            f"control groups, each process {self._run / 1000:g} of every {TURN_US / 1000:g} ms"
        )

    def hold(self, processes: set[int]) -> None:
        """Put those that are new into a group of their own."""
        for process in processes - self._held.keys():
            with contextlib.suppress(OSError):
                before = self._group_of(process)
                group = self._make(str(process))
                (group / "cgroup.procs").write_text(str(process))
                self._held[process] = before

    def release(self) -> None:
        """Every process back to where it was."""
        for process, before in self._held.items():
            with contextlib.suppress(OSError):
                (before / "cgroup.procs").write_text(str(process))
            _remove(self._own / str(process))
        _remove(self._own)

    def _make(self, name: str) -> Path:
        group = self._own / name
        group.mkdir(exist_ok=True)
        if self._is_new:
            (group / "cpu.max").write_text(f"{self._run} {TURN_US}")
        else:
            (group / "cpu.cfs_period_us").write_text(str(TURN_US))
            (group / "cpu.cfs_quota_us").write_text(str(self._run))
        return group

    def _group_of(self, process: int) -> Path:
        for line in Path(f"/proc/{process}/cgroup").read_text().splitlines():
            _number, kinds, path = line.split(":", 2)
            if kinds == "" if self._is_new else "cpu" in kinds.split(","):
                return self._root / path.removeprefix("/")
        return self._root


def _remove(group: Path) -> None:
    """A process that has just died stays in its group for a moment."""
    until = time.monotonic() + 5
    while group.exists() and time.monotonic() < until:
        with contextlib.suppress(OSError):
            group.rmdir()
            return
        time.sleep(0.02)


class StopAndGo:
    """By signals, from a thread of ours: coarser, and it needs no rights."""

    def __init__(self, share: float) -> None:
        self._run = TURN_US * share / 1e6
        self._stand = TURN_US / 1e6 - self._run
        self._held: set[int] = set()
        self._ended = threading.Event()
        self._thread = threading.Thread(target=self._turns, daemon=True)
        self._thread.start()
        self.words = f"signals, all for {self._run * 1000:g} of every {TURN_US / 1000:g} ms"

    def hold(self, processes: set[int]) -> None:
        """These and no others."""
        self._held = processes

    def release(self) -> None:
        """Everything goes on."""
        self._ended.set()
        self._thread.join()

    def _turns(self) -> None:
        while not self._ended.is_set():
            self._send(signal.SIGSTOP)
            time.sleep(self._stand)
            self._send(signal.SIGCONT)
            time.sleep(self._run)

    def _send(self, what: signal.Signals) -> None:
        for process in self._held:
            with contextlib.suppress(OSError):
                os.kill(process, what)
