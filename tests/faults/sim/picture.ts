/* Everything the server has, read from its database. */
import type { Entry } from "../../../frontend/src/journal/entry";
import type { JobState } from "../../../frontend/src/journal/state";
import type { Shift } from "./shift";

export type Device = {
  id: string;
  kind: string;
  last_n: number;
  refused_ns: number[];
  written_off_at: string | null;
};
type Stored = { seq: number; n: number; wire: Entry; device_id: string; job_id: string };
export type ServerJob = {
  state: JobState;
  place: string;
  missing: Record<string, number[]>;
  bike: string;
  openings: number;
};

export type ServerShop = {
  id: string;
  epoch: string;
  last_seq: number;
  entries: Stored[];
  jobs: Record<string, ServerJob>;
  refused: string[];
  devices: Device[];
  photos: Record<string, [number, number]>;
};

/** The workshops in the order in which they were opened. */
export function pictureOf(shift: Shift): ServerShop[] {
  const { shops, strays } = shift.server.picture() as { shops: ServerShop[]; strays: number };
  if (strays > 0) shift.fail(`${strays} entries lie in another workshop than their job or device`);
  return shift.shops.map(({ id }) => shops.find((shop) => shop.id === id) as ServerShop);
}
