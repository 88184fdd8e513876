/* Making this phone known: the server gives it a name and a token, the worker keeps them. */
import { v7 } from "uuid";
import { say } from "../words/page";
import { formerNames, listBeen, rememberBeen } from "./been";
import { attemptOf } from "./code";

export type DeviceState = {
  enrolled: boolean;
  sign_in_again: boolean;
  revoked: boolean;
  former: string[];
  kept: { entries: number; photos: number; walkIns: number; refused: number };
};
export type Enrolled = {
  device: string;
  name: string;
  token: string;
  workshop: string;
  workshop_name: string;
  person: string | null;
  epoch: string;
  former: string[];
  lost: { entries: number; photos: number };
};
type Means = { secret: string; csrf: string; former: readonly string[] };

/** Something that will not come about by trying again; the message says what to do. */
export class Refused extends Error {}

export async function askJson<T>(url: string, init?: RequestInit): Promise<T> {
  const response = await fetch(url, init);
  if (!response.ok) throw new Refused(await refusal(response));
  return (await response.json()) as T;
}

async function refusal(response: Response): Promise<string> {
  if (response.status === 403) return say("install.signed-out");
  const body = (await response.json().catch(() => ({}))) as { message?: string };
  return body.message ?? say("install.answered", { status: response.status });
}

/** By the secret of a code; without one, by the session of whoever is signed in. */
export function enrol({ secret, csrf, former }: Means): Promise<Enrolled> {
  const own = formerNames(former, listBeen());
  const asked = secret
    ? { secret, former: own, attempt: attemptOf() }
    : { name: deviceName(), former: own };
  return postJson<Enrolled>("/api/devices", asked, { "X-CSRFToken": csrf });
}

export async function handOver(answer: Enrolled, storage: string): Promise<void> {
  const { device, token, workshop, workshop_name, person, epoch, former } = answer;
  const handed = { device, token, workshop, workshop_name, person, epoch, former, storage };
  await postJson("/bench/device", handed);
  rememberBeen(device);
}

function postJson<T>(
  url: string,
  value: unknown,
  headers: Record<string, string> = {},
): Promise<T> {
  return askJson<T>(url, {
    method: "POST",
    headers: { "Content-Type": "application/json", ...headers },
    body: JSON.stringify(value),
  });
}

function deviceName(): string {
  const kind = /iPad|Tablet/i.test(navigator.userAgent)
    ? say("device.tablet")
    : /Mobi|iPhone|Android/i.test(navigator.userAgent)
      ? say("device.phone")
      : say("device.computer");
  return `${kind} ${v7().slice(-4)}`;
}
