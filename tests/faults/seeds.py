"""Many seeds at once, with a line now and then and the sums at the end."""

import threading
import time
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

from tests.faults.simulator import Built, Outcome, outcomes

# So many at a time in one process: its start costs as much as some seeds.
LARGEST_SHARE = 250
EVERY_SECONDS = 10


@dataclass
class Tally:
    """What came out of all seeds so far."""

    wanted: int = 0
    seeds: int = 0
    phones: int = 0
    failed: dict[str, list[str]] = field(default_factory=dict)
    counts: Counter[str] = field(default_factory=Counter)
    started: float = field(default_factory=time.monotonic)
    said: float = field(default_factory=time.monotonic)
    lock: threading.Lock = field(default_factory=threading.Lock)

    def add(self, outcome: Outcome) -> None:
        """Count one more, and say what has to be said."""
        with self.lock:
            self.seeds += 1
            self.phones += outcome["phones"]
            self.counts.update(outcome["counts"])
            if outcome["wrong"]:
                self.failed[outcome["seed"]] = outcome["wrong"]
                print(f"seed {outcome['seed']}: {outcome['wrong'][0][:300]}", flush=True)
            self._say()

    def _say(self) -> None:
        now = time.monotonic()
        if now - self.said > EVERY_SECONDS:
            self.said = now
            rate = self.seeds / (now - self.started)
            print(f"{self.seeds} of {self.wanted} seeds, {rate:.1f} a second", flush=True)

    def sum_up(self) -> None:
        """The counts of everything that happened."""
        for what, count in sorted(self.counts.items()):
            print(f"  {what:52}{count:>9}")
        print(
            f"{self.seeds} seeds, {self.phones} phones, {self.counts['entries saved']} entries, "
            f"{time.monotonic() - self.started:.0f} s, {len(self.failed)} went wrong"
        )
        if self.failed:
            print("repeat one with: make faults SEED=" + next(iter(self.failed)))


def run_seeds(built: Built, seeds: Sequence[str], workers: int) -> Tally:
    """All seeds, shared among the workers."""
    tally = Tally(wanted=len(seeds))
    share = min(LARGEST_SHARE, -(-len(seeds) // (2 * workers)))
    shares = iter([seeds[at : at + share] for at in range(0, len(seeds), share)])

    def work() -> None:
        while True:
            with tally.lock:
                some = next(shares, None)
            if some is None:
                return
            for outcome in outcomes(built, some):
                tally.add(outcome)

    together(work, workers)
    tally.sum_up()
    return tally


def together(work: object, workers: int) -> None:
    """The same work in several threads; each waits for processes of its own."""
    threads = [threading.Thread(target=work) for _ in range(workers)]  # type: ignore[arg-type]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
