/* Entries, photos and walk-ins that were refused, said in words for one list. */
import type { PhotoInList } from "../store/photos";
import { OTHER_WORKSHOP } from "../store/refusal";
import type { RefusedRow, WalkInRow } from "../store/schema";
import { entryInWords } from "../views/entry-words";
import type { JobView } from "../views/job-model";
import type { RefusedItem } from "../views/refused-list";
import { say } from "../words/bench";

type Jobs = ReadonlyMap<string, JobView>;

export type RefusedRows = {
  entries: RefusedRow[];
  removed: RefusedRow[];
  photos: PhotoInList[];
  removedPhotos: PhotoInList[];
  walkIns: WalkInRow[];
  removedWalkIns: WalkInRow[];
};

export function refusedItems(
  rows: RefusedRows,
  jobs: Jobs,
): { refused: RefusedItem[]; removed: RefusedItem[] } {
  const entry = (row: RefusedRow) => entryItem(row, jobs);
  const photo = (row: PhotoInList) => photoItem(row, jobs);
  return {
    refused: [
      ...rows.walkIns.map(walkInItem),
      ...rows.entries.map(entry),
      ...rows.photos.map(photo),
    ],
    removed: [
      ...rows.removedWalkIns.map(walkInItem),
      ...rows.removed.map(entry),
      ...rows.removedPhotos.map(photo),
    ],
  };
}

function numberOf(jobs: Jobs, id: string): string {
  return jobs.get(id)?.header.number ?? say("kept.a-job");
}

function entryItem({ id, code, message: why, entry }: RefusedRow, jobs: Jobs): RefusedItem {
  const words = entryInWords(jobs.get(entry.job), entry);
  return {
    ...{ what: "entry", id, code, why, at: entry.at },
    words: say("kept.line", { job: numberOf(jobs, entry.job), words }),
    sendable: code !== OTHER_WORKSHOP,
  };
}

function photoItem(row: PhotoInList, jobs: Jobs): RefusedItem {
  const code = row.code ?? "";
  return {
    ...{ what: "photo", id: row.sha256, code, at: row.kept_at },
    words: say("kept.line", { job: numberOf(jobs, row.job), words: say("kept.photo") }),
    why: row.refused ?? row.removed ?? "",
    sendable: code !== OTHER_WORKSHOP,
  };
}

function walkInItem(row: WalkInRow): RefusedItem {
  const code = row.code ?? "";
  return {
    ...{ what: "walk-in", id: row.id, code, at: row.opened_at },
    words: say("kept.walk-in", { bike: row.bike_words, name: row.customer_name }),
    why: row.refused ?? row.removed ?? "",
    sendable: code !== OTHER_WORKSHOP,
  };
}
