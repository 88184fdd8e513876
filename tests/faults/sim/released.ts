/* A bike may go only when the server has everything that it knows a phone has written. */
import type { Device, ServerShop } from "./picture";
import { pictureOf } from "./picture";
import type { Shift } from "./shift";

export function checkRelease(shift: Shift, job: string, shop: number): void {
  const seen = pictureOf(shift)[shop];
  if (!seen) return;
  const workers = new Set(
    seen.entries.filter((each) => each.job_id === job).map(({ device_id }) => device_id),
  );
  for (const device of seen.devices) {
    if (device.kind !== "phone" || !workers.has(device.id) || device.written_off_at) continue;
    const missing = numbersMissing(shift, seen, device);
    if (missing.length > 0)
      shift.fail(`job ${job} was released while ${missing.join(", ")} of ${device.id} are missing`);
  }
}

/** By what the simulator saw go through, not by what the server remembers. */
export function numbersMissing(shift: Shift, seen: ServerShop, device: Device): number[] {
  const known = new Set(device.refused_ns);
  for (const each of seen.entries) if (each.device_id === device.id) known.add(each.n);
  const told = Math.max(shift.server.told.get(device.id) ?? 0, ...known);
  return Array.from({ length: told }, (_, at) => at + 1).filter((n) => !known.has(n));
}
