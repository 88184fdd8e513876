"""
The fault programme: `python tests/faults/run.py --seeds 500` lives that many days of simulated
phones and the real server through every fault, `--seed 123` repeats one and tells it, `--broken`
tries whether each rule is missed when it is broken on purpose.
"""

import argparse
import json
import os
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.faults.broken import run_broken
from tests.faults.mutations import MUTATIONS
from tests.faults.seeds import Tally, run_seeds
from tests.faults.simulator import Built, CannotRun, build, empty_database, outcomes


def tell(built: Built, seed: str) -> int:
    """One seed, told from beginning to end, and shortened when it goes wrong."""
    (outcome,) = outcomes(built, [seed], trace=True)
    print("\n".join(outcome["lines"]))
    if not outcome["wrong"]:
        print(f"seed {seed} is all right; its trace hashes to {outcome['hash'][:16]}")
        return 0
    print("\nThe same with all left out that it does not need:\n", flush=True)
    (shorter,) = outcomes(built, [seed], trace=True, shrink=True)
    print("\n".join(shorter["lines"]))
    return 1


def main(arguments: Sequence[str]) -> int:
    """Seeds, then broken rules, as asked; 1 when anything went wrong."""
    wanted = _parse(arguments)
    with tempfile.TemporaryDirectory(prefix="shopfloor-faults-") as name:
        try:
            built = build(Path(name) / "whole")
            empty_database()
        except CannotRun as error:
            print(error)
            return 1
        if wanted.seed:
            return tell(built, wanted.seed)
        return _run(built, wanted, Path(name))


def _run(built: Built, wanted: argparse.Namespace, folder: Path) -> int:
    tally = Tally()
    if wanted.seeds:
        seeds = [str(seed) for seed in range(wanted.start, wanted.start + wanted.seeds)]
        print(f"seeds {seeds[0]} to {seeds[-1]}", flush=True)
        tally = run_seeds(built, seeds, wanted.workers)
    tried = [m for m in MUTATIONS if wanted.only in m.name] if wanted.broken else []
    missed = run_broken(folder, tried, wanted.workers) if tried else []
    # Where a process ended, the rest of its share was not lived.
    failed = len(tally.failed) + len(missed) + max(0, tally.wanted - tally.seeds)
    if wanted.report:
        passed = tally.wanted + len(tried) - failed
        Path(wanted.report).write_text(json.dumps({"passed": passed, "failed": failed}))
    return int(failed > 0)


def _parse(arguments: Sequence[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seeds", type=int, default=0, help="how many")
    parser.add_argument("--start", type=int, default=1, help="the first seed")
    parser.add_argument("--seed", default="", help="repeat this one and tell it")
    parser.add_argument("--broken", action="store_true", help="break each rule on purpose")
    parser.add_argument("--only", default="", help="only broken rules with this in their name")
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--report", default="", help="write the counts there")
    return parser.parse_args(arguments)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
