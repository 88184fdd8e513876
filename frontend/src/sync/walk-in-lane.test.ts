import { gunzipSync } from "node:zlib";
import { v7 } from "uuid";
import { beforeEach, expect, test } from "vitest";
import { appendEntry } from "../store/append";
import { edit } from "../store/database";
import { findJob, listJobs } from "../store/jobs";
import { listUnsent } from "../store/outbox";
import type { HeaderRow } from "../store/schema";
import { findWalkIn, keepWalkIn } from "../store/walk-ins";
import { DEVICE, freshDatabase, JOB, MIRA, makeHeader, ROUTE } from "../testing/bench";
import { SignInAgain } from "./problems";
import { sendWalkIns } from "./walk-in-lane";

const OTHER = "0190a000-0000-7000-8000-00000000000b";
const AT = "2026-03-02T10:00:00.000Z";
const SHA = "a".repeat(64);

/** The jobs of which the server may not hear yet: one entry is written to each. */
async function jobsHeldBack(): Promise<Set<string>> {
  const jobs = [JOB, OTHER];
  for (const job of jobs)
    await appendEntry({
      id: v7(),
      job,
      kind: "note",
      by: MIRA,
      at: AT,
      body: { text: "…" },
      supersedes: [],
    });
  const going = new Set((await listUnsent(100)).map((entry) => entry.job));
  return new Set(jobs.filter((job) => !going.has(job)));
}

type Answering = (body: Record<string, unknown>) => Response | Promise<Response>;
type Sent = { url: string; headers: Headers; body: Record<string, unknown> };

let sent: Sent[];

beforeEach(async () => {
  sent = [];
  freshDatabase();
  await edit(["meta"], (tx) =>
    tx.objectStore("meta").put({ device: DEVICE, token: "t0" }, "device"),
  );
  await take(JOB, "one");
});

async function take(id: string, bike: string): Promise<void> {
  const { route: _, ...header } = makeHeader({ id, number: "Tag 000A", bike });
  const { traits, service, says, go_ahead_minor, opened_at } = header;
  await keepWalkIn(
    {
      ...{ customer_name: "Jana", phone: "12", bike_words: bike, by: MIRA, catalogue: "c1" },
      ...{ traits, service, says, go_ahead_minor, opened_at, route: SHA },
    },
    { ...header, route: SHA } as HeaderRow,
    ROUTE,
  );
}

function server(answer: Answering) {
  const fetch = async (url: string, init: RequestInit): Promise<Response> => {
    const request = new Request(`http://shop.example.org${url}`, init);
    const body = JSON.parse(gunzipSync(Buffer.from(await request.arrayBuffer())).toString());
    sent.push({ url, headers: request.headers, body });
    return answer(body);
  };
  return sendWalkIns({ fetch });
}

const taken = () => Response.json({ job: JOB, number: "J-0044" }, { status: 201 });

test("a walk-in is put under its own id, with all that the desk has to know and its route", async () => {
  expect(await server(taken)).toBe("");

  expect(sent).toHaveLength(1);
  expect(sent[0]?.url).toBe(`/api/walk-ins/${JOB}`);
  expect(sent[0]?.headers.get("Authorization")).toBe("Bearer t0");
  expect(sent[0]?.body).toEqual({
    customer_name: "Jana",
    phone: "12",
    bike_words: "one",
    traits: { kind: "city" },
    service: "standard",
    says: "It <clicks> under load",
    go_ahead_minor: 4000,
    opened_at: "2026-03-01T09:00:00Z",
    by: MIRA,
    catalogue: "c1",
    steps: ROUTE,
  });
});

test("once taken it has the desk's number at once, its entries may go, and it is not sent again", async () => {
  const before = await jobsHeldBack();
  await server(taken);
  await server(taken);

  expect([...before]).toEqual([JOB]);
  expect(await jobsHeldBack()).toEqual(new Set());
  expect((await listJobs())[0]?.header.number).toBe("J-0044");
  expect((await findJob(JOB))?.header.number).toBe("J-0044");
  expect(sent).toHaveLength(1);
});

test.each([400, 409, 422])(
  "refused with %i it stays listed, with the server's reason",
  async (status) => {
    const refusal = { code: "unknown-person", message: "Choose who works." };

    const trouble = await server(() => Response.json(refusal, { status }));

    expect(trouble).toBe("");
    expect(await findWalkIn(JOB)).toMatchObject({
      refused: "Choose who works.",
      code: "unknown-person",
    });
    expect(await listJobs()).toHaveLength(1);
    expect([...(await jobsHeldBack())]).toEqual([JOB]);
  },
);

test.each([404, 408, 429, 500, 503])("after %i it waits, and the others go", async (status) => {
  await take(OTHER, "two");
  const answer: Answering = ({ bike_words }) =>
    bike_words === "one" ? Response.json({ message: "Not now." }, { status }) : taken();

  expect(await server(answer)).toBe("Not now.");

  expect([...(await jobsHeldBack())]).toEqual([JOB]);
  expect((await findWalkIn(JOB))?.unsent).toBe(1);
});

test("an answer that cannot be read leaves it waiting", async () => {
  expect(await server(() => new Response("<html>", { status: 200 }))).not.toBe("");
  expect(await server(() => new Response("<html>", { status: 400 }))).not.toBe("");

  expect((await findWalkIn(JOB))?.unsent).toBe(1);
});

test("a phone the server does not know keeps all and says so", async () => {
  const unknown = () => Response.json({ code: "sign-in", message: "?" }, { status: 401 });

  await expect(server(unknown)).rejects.toThrow(SignInAgain);
  expect((await findWalkIn(JOB))?.unsent).toBe(1);
});
