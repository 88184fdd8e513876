"""Breaks each rule on purpose and sees that some seed notices."""

import itertools
import shutil
import threading
from collections.abc import Sequence
from pathlib import Path
from queue import Empty, Queue

from tests.faults.mutations import Mutation
from tests.faults.seeds import together
from tests.faults.simulator import CannotRun, build, outcomes


def run_broken(folder: Path, wanted: Sequence[Mutation], workers: int) -> list[str]:
    """The names of those that nobody noticed, or that do not fit the code any more."""
    missed: list[str] = []
    waiting = Queue[Mutation]()
    for mutation in wanted:
        waiting.put(mutation)

    def work() -> None:
        for number in itertools.count():
            try:
                mutation = waiting.get_nowait()
            except Empty:
                return
            place = folder / f"broken-{threading.get_ident()}-{number}"
            is_noticed, said = _notice(place, mutation)
            if not is_noticed:
                missed.append(mutation.name)
            print(f"{mutation.name}: {said}", flush=True)
            shutil.rmtree(place, ignore_errors=True)

    together(work, workers)
    print(f"{len(wanted) - len(missed)} of {len(wanted)} broken rules noticed")
    return missed


def _notice(folder: Path, mutation: Mutation) -> tuple[bool, str]:
    try:
        built = build(folder, mutation.patches)
    except CannotRun as error:
        return False, f"DOES NOT FIT the code any more: {error}"
    others = (seed for seed in range(1, mutation.within + 1) if seed != mutation.known)
    seeds = [str(seed) for seed in (mutation.known, *others)]
    for outcome in outcomes(built, seeds, stopAtFirst=True):
        if outcome["wrong"]:
            what = outcome["wrong"][0]
            if "Stale" in what:
                return False, f"DOES NOT FIT the code any more: {what[-300:]}"
            return True, f"noticed by seed {outcome['seed']} of {mutation.within}: {what[:120]}"
    return False, f"NOT NOTICED by any of {mutation.within} seeds"
