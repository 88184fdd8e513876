/* The walk-in form as it stands: kept while it is typed, so that a phone that dies loses nothing of it. */
import { edit, withDatabase } from "./database";
import type { WalkInDraft } from "./schema";

export async function findDraft(): Promise<WalkInDraft | undefined> {
  return withDatabase(
    async (database) => (await database.get("meta", "walk_in")) as WalkInDraft | undefined,
  );
}

/** What was still on its way when its job was opened comes too late and is left out. */
export async function keepDraft(draft: WalkInDraft): Promise<void> {
  await edit(["meta", "walk_ins"], async (tx) => {
    const opened = await tx.objectStore("walk_ins").get(draft.job);
    if (opened && opened.refused === undefined) return;
    await tx.objectStore("meta").put(draft, "walk_in");
  });
}
