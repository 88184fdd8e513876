/* Prints this version's frozen phone: its database, and what a later version must make of it. */
import { mkdirSync, writeFileSync } from "node:fs";
import { fold } from "../journal/fold";
import { findJob } from "../store/jobs";
import { exportEntries } from "../store/outbox";
import { DATABASE_NAME, DATABASE_VERSION } from "../store/schema";
import { JOB } from "./bench";
import { freezeDatabase } from "./frozen";
import { SECOND_JOB, workSomeDays } from "./season";

const [, , releases] = process.argv;

async function stateOf(id: string) {
  return fold((await findJob(id))?.entries ?? []);
}

await workSomeDays();
const { unsent, refused, walk_ins } = await exportEntries();
const expected = {
  unsent: unsent.map((entry) => JSON.stringify(entry)),
  refused: refused.map((row) => JSON.stringify(row.entry)),
  walk_ins: walk_ins.map((row) => row.id),
  states: { [JOB]: await stateOf(JOB), [SECOND_JOB]: await stateOf(SECOND_JOB) },
};
const folder = `${releases}/${DATABASE_VERSION}`;
// An existing folder is a phone of the past: it is never written again.
mkdirSync(folder);
writeFileSync(`${folder}/database.json`, await freezeDatabase(DATABASE_NAME));
writeFileSync(`${folder}/expected.json`, `${JSON.stringify(expected, null, 1)}\n`);
