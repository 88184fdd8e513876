"""Do Python and TypeScript come to the same answers, on entries nobody thought of?"""

import os
import random
from pathlib import Path
from typing import Any

from shopfloor.journal.entry import Entry, MalformedEntry, parse_entry, to_wire
from shopfloor.journal.fold import fold
from shopfloor.journal.progress import full_route, progress
from shopfloor.journal.release import release_refusals
from shopfloor.journal.values import canonical_json, same_value
from tests.journal.cases import load_cases
from tests.journal.random_entries import random_raw
from tests.typescript import needs_node, typescript_answers

SETS = 300
MISSING = [{"device": "d", "device_name": "Mira's phone", "ns": [4, 2, 3, 9]}]

SCRIPT = """
import { parseEntry, toWire } from "./src/journal/entry";
import { fold } from "./src/journal/fold";
import { fullRoute, progress } from "./src/journal/progress";
import { releaseRefusals } from "./src/journal/release";
import { canonicalJson } from "./src/journal/values";

function answers({ route, missing, raw }) {
  const entries = [];
  const refused = [];
  for (const one of raw) {
    try {
      entries.push(parseEntry(one));
    } catch (error) {
      refused.push([error.code, error.message]);
    }
  }
  const state = fold(entries);
  const whole = fullRoute(route, state);
  return {
    refused,
    texts: entries.map((entry) => canonicalJson(toWire(entry))),
    state,
    order: whole.map((step) => step.key),
    progress: progress(whole, state),
    safe: releaseRefusals(whole, state, missing),
    not_to_ride: releaseRefusals(whole, state, [], { mode: "not-to-ride", reason: " " }),
  };
}

tell(({ sets, ...rest }) => sets.map((raw) => answers({ ...rest, raw })));
"""


def python_answers(raw: list[Any], route: list[dict[str, Any]]) -> dict[str, Any]:
    entries: list[Entry] = []
    refused = []
    for one in raw:
        try:
            entries.append(parse_entry(one))
        except MalformedEntry as error:
            refused.append([error.code, error.message])
    state = fold(entries)
    whole = full_route(route, state)
    return {
        "refused": refused,
        "texts": [canonical_json(to_wire(entry)) for entry in entries],
        "state": state,
        "order": [step["key"] for step in whole],
        "progress": progress(whole, state),
        "safe": release_refusals(whole, state, MISSING),
        "not_to_ride": release_refusals(whole, state, [], mode="not-to-ride", reason=" "),
    }


def every_step() -> list[dict[str, Any]]:
    """One route of all the steps that the progress cases know."""
    steps = {step["key"]: step for case in load_cases("progress") for step in case["route"]}
    return list(steps.values())


@needs_node
def test_random_entries_are_read_the_same_in_both_languages(tmp_path: Path) -> None:
    seed = int(os.environ.get("JOURNAL_SEED") or random.SystemRandom().randrange(2**32))
    print(f"JOURNAL_SEED={seed}")
    rng = random.Random(seed)
    sets = [random_raw(rng) for _ in range(SETS)]
    route = every_step()

    question = {"route": route, "missing": MISSING, "sets": sets}
    answers = typescript_answers(SCRIPT, question, tmp_path)

    assert len(answers) == SETS
    for number, (raw, theirs) in enumerate(zip(sets, answers, strict=True)):
        ours = python_answers(raw, route)
        for name, value in ours.items():
            assert same_value(theirs[name], value), (
                f"JOURNAL_SEED={seed}, set {number}, {name}:\n{theirs[name]}\n{value}"
            )
