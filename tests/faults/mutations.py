"""Rules broken on purpose: the programme must notice each of them, or it proves nothing."""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Mutation:
    """
    One rule, broken by replacing pieces of source. Some seed up to `within` must notice; `known`
    did when it was last tried, and goes first. A piece that is not there any more is an error.
    """

    name: str
    patches: Sequence[dict[str, str]]
    within: int = 60
    known: int = 1


def patch(file: str, find: str, put: str) -> dict[str, str]:
    """Replace this piece of this file, which has it exactly once."""
    return {"file": file, "find": find, "put": put}


def phone(file: str, find: str, put: str = "") -> dict[str, str]:
    """The same in the phone's code."""
    return patch(f"frontend/src/{file}", find, put)


def server(file: str, find: str, put: str = "") -> dict[str, str]:
    """The same in the server's code."""
    return patch(f"shopfloor/{file}", find, put)


OUTBOX = phone(
    "sync/run.ts",
    'import { listUnsent } from "../store/outbox";',
    'import { listUnsent, markTaken } from "../store/outbox";',
)
APPEND = "async function append(fresh: NewEntry, how: How, photo?: PhotoRow): Promise<Entry> {\n"
# More is on its way when a sync is cut; nothing goes wrong by this alone.
ONE_BY_ONE = phone("sync/run.ts", "const BATCH = 1000;", "const BATCH = 1;")
STORED = "        stored = journal.store(workshop=device.workshop, entries=compared.fresh, at=at)\n"

MUTATIONS: list[Mutation] = [
    # The phone
    Mutation(
        "entries count as sent before the answer is there",
        [
            OUTBOX,
            phone(
                "sync/run.ts",
                "    const answer = await exchange(deps.fetch, token, question);",
                "    const { entries: all } = question;\n"
                "    await markTaken(all, [{ at: 0, count: all.length, seq: 0 }]);\n"
                "    const answer = await exchange(deps.fetch, token, question);",
            ),
        ],
        known=2,
    ),
    Mutation(
        "a 401 empties the queue",
        [
            OUTBOX,
            phone(
                "sync/run.ts",
                "  const { problem, message } = describe(error);",
                "  const { problem, message } = describe(error);\n"
                "  const all = error instanceof SignInAgain ? await listUnsent(999) : [];\n"
                "  await markTaken(all, all.map((_, at) => ({ at, count: 1, seq: 0 })));",
            ),
        ],
    ),
    Mutation(
        "the cursor moves over a hole",
        [
            phone(
                "store/reach.ts",
                "    if (each.seq > reached + 1) return { whole, cursor: reached };\n"
                "    if (each.seq === reached + 1) whole.push(each);",
                "    whole.push(each);",
            )
        ],
        known=41,
    ),
    Mutation(
        "the cursor moves before the entries are there",
        [
            phone(
                "sync/take.ts",
                "  const numbers: Numbers[] = answer.taken;",
                "  const numbers: Numbers[] = answer.taken;\n"
                "  await noteSync({ cursor: answer.cursor } as object);",
            )
        ],
    ),
    Mutation(
        "a number is used up before its entry is kept",
        [
            phone(
                "store/append.ts",
                APPEND,
                APPEND + '  await edit(["meta"], async (tx) => {\n'
                '    const last = (await tx.objectStore("meta").get("n")) as number | undefined;\n'
                '    await tx.objectStore("meta").put((last ?? 0) + 1, "n");\n'
                "  });\n",
            ),
            phone("store/append.ts", "  const n = (last ?? 0) + 1;", "  const n = last ?? 1;"),
        ],
        known=5,
    ),
    Mutation(
        "a tap is not forced to the disk",
        [
            phone(
                "store/append.ts",
                '      (tx) => write(tx, fresh, how, photo),\n      "strict",',
                '      (tx) => write(tx, fresh, how, photo),\n      "relaxed",',
            )
        ],
        known=8,
    ),
    Mutation(
        "saved is said before the entry is on the disk",
        [
            phone(
                "routes/record.ts",
                "  const entry = await appendEntry(fresh, { seen: c.var.seen, meanwhile });",
                "  const entry = fresh as Entry;\n  setTimeout(() => void appendEntry(fresh), 5);",
            )
        ],
    ),
    Mutation(
        "a repeat gets another id",
        [
            phone(
                "routes/record.ts",
                "  const id = isUuid(given) ? given.toLowerCase() : v7();",
                "  const id = v7();",
            )
        ],
    ),
    Mutation(
        "what was refused is dropped",
        [phone("store/refused.ts", '  await tx.objectStore("refused").put(refused);\n')],
        within=120,
        known=7,
    ),
    Mutation(
        "nothing is offered again after a restore",
        [
            phone(
                "sync/take.ts",
                "    if (facts.epoch !== null) await offerEverythingAgain();\n",
            )
        ],
        known=14,
    ),
    Mutation(
        "photos are not offered again after a restore",
        [phone("store/restore.ts", "  await offerPhotosAgain();\n")],
        within=400,
        known=20,
    ),
    Mutation(
        "the new epoch begins before everything is offered",
        [
            phone(
                "sync/take.ts",
                "    if (facts.epoch !== null) await offerEverythingAgain();\n"
                "    await startEpoch(answer.epoch);",
                "    await startEpoch(answer.epoch);\n"
                # Long enough that somebody closes the browser in between.
                "    await new Promise((go) => setTimeout(go, 5_000));\n"
                "    if (facts.epoch !== null) await offerEverythingAgain();",
            )
        ],
        within=200,
        known=154,
    ),
    Mutation(
        "what a restore took from others stays on the phone",
        [phone("store/restore.ts", "  if (!facts.restoring) return [];", "  return [];")],
        known=20,
    ),
    Mutation(
        "a copied phone keeps its name",
        [
            phone(
                "sync/take.ts",
                "  if (answer.device) await adoptDevice(",
                "  if (false as boolean) await adoptDevice(",
            )
        ],
        within=120,
        known=27,
    ),
    Mutation(
        "a phone that is signed out loses what it had not sent",
        [
            phone(
                "store/enrolment.ts",
                '  await Promise.all(unsent.map((row) => tx.objectStore("entries").put(row)));\n',
            )
        ],
        within=120,
        known=2,
    ),
    Mutation(
        "entries follow the phone into another workshop",
        [
            phone(
                "store/enrolment.ts",
                "  if (home) return home !== shop.id;",
                "  if (home) return false;",
            )
        ],
        within=200,
        known=72,
    ),
    Mutation(
        "the last writer wins in the phone's fold",
        [
            phone(
                "journal/live.ts",
                '  return entry.kind !== "void" || entry.by === target.by;',
                "  return true;",
            ),
            phone(
                "journal/live.ts",
                "read(entry, blanked.has(entry.id)));\n  }\n  return heads;",
                "read(entry, blanked.has(entry.id)));\n  }\n"
                "  const last = new Map(\n"
                "    heads.map((each) => [each.kind + String(each.body.step ?? each.id), each]),\n"
                "  );\n"
                "  return [...last.values()];",
            ),
        ],
        known=5,
    ),
    Mutation(
        "a photo counts as sent when it was cut off",
        [
            phone(
                "sync/photo-lane.ts",
                "    await upload(fetcher, token, photo);\n",
                "    await upload(fetcher, token, photo).catch(() => undefined);\n",
            )
        ],
        within=120,
        known=110,
    ),
    Mutation(
        "the entries of a walk-in are sent before it",
        [
            phone(
                "store/outbox.ts",
                "!held.has(row.id) && !notThere.has(row.job)",
                "!held.has(row.id)",
            ),
            phone(
                "sync/run.ts",
                "  const aboutWalkIns = await sendWalkIns(deps);\n  await rounds(deps, run);",
                "  await rounds(deps, run);\n  const aboutWalkIns = await sendWalkIns(deps);",
            ),
        ],
        within=200,
        known=8,
    ),
    Mutation(
        "a restored server is not told what was refused before",
        [phone("store/outgoing.ts", "    listSetAside(),\n", "    [],\n")],
        within=400,
        known=65,
    ),
    # The server
    Mutation(
        "the server answers for what it did not commit",
        [
            server(
                "sync/taking.py",
                STORED,
                STORED + "        if stored and at.second % 3 == 0:\n"
                "            transaction.set_rollback(True)\n",
            )
        ],
        known=6,
    ),
    Mutation(
        "the server takes the same id twice",
        [server("jobs/services.py", "        if entry.id not in held:", "        if True:")],
    ),
    Mutation(
        "the server's numbers have gaps",
        [
            server(
                "jobs/services.py",
                "        cursor.execute(ADVANCE, [count, pk])",
                "        cursor.execute(ADVANCE, [count + (at_random() > 0.9), pk])",
            ),
            server(
                "jobs/services.py",
                "import uuid6\n",
                "from random import random as at_random\n\nimport uuid6\n",
            ),
        ],
        known=2,
    ),
    Mutation(
        "the server forgets how far a phone has counted",
        [
            server(
                "workshop/devices.py",
                '        last_n=Greatest("last_n", Value(told.last_n)),\n',
            )
        ],
        within=300,
        known=34,
    ),
    Mutation(
        "the server does not keep what it refuses",
        [
            server(
                "sync/taking.py",
                "        _keep_refused(device, refused, at)\n",
            )
        ],
        within=120,
        known=7,
    ),
    Mutation(
        "the server turns away what a signed-out phone wrote",
        [
            server(
                "workshop/devices.py",
                "    return is_ours and (other.revoked_at is not None or",
                "    return is_ours and (False or",
            )
        ],
        within=200,
        known=137,
    ),
    Mutation(
        "a bike is released although entries are missing",
        [
            server(
                "handover/services.py",
                "missing_entries(job)",
                "[]",
            ),
            ONE_BY_ONE,
        ],
        within=60,
        known=23,
    ),
    Mutation(
        "a restored server goes on in its old epoch",
        [
            server(
                "sync/management/commands/new_epoch.py",
                "            begin_epoch(workshop=workshop)\n",
            )
        ],
        known=14,
    ),
    Mutation(
        "the server's page leaves out what was numbered last",
        [
            server(
                "sync/services.py",
                "    return min(upto, last)",
                "    return min(upto, last - 1)",
            )
        ],
    ),
]
