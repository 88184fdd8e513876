import { afterEach, beforeEach, expect, test } from "vitest";
import { answerLine, type LineReply } from "./line";
import { Line } from "./page/line";
import { writtenOut } from "./routes/respond";
import { findJob } from "./store/jobs";
import { type Bench, JOB, makeBench } from "./testing/bench";

const TICK = `/bench/jobs/${JOB}/steps/look/tick`;
const ID = "0190a000-0000-7000-8000-00000000aaaa";
const FORM = {
  url: TICK,
  headers: { "HX-Request": "true", "X-Entry-Id": ID },
  body: "outcome=done",
};

let bench: Bench;
let open: MessagePort[];
let timers: Array<{ ms: number; work: () => void; off: boolean }>;

beforeEach(async () => {
  bench = await makeBench();
  open = [];
  timers = [];
});

afterEach(() => {
  for (const port of open) port.close();
});

/** `worker` is what stands at the other end. */
function makeLine(worker: (port: MessagePort) => void): Line {
  const line = new Line({
    connect: (hear) => {
      const { port1, port2 } = new MessageChannel();
      open.push(port1, port2);
      port1.onmessage = ({ data }: MessageEvent<LineReply>) => hear(data);
      worker(port2);
      return (message) => port1.postMessage(message);
    },
    later: (work, ms) => {
      const timer = { ms, work, off: false };
      timers.push(timer);
      return () => {
        timer.off = true;
      };
    },
  });
  line.open();
  return line;
}

const atWork = (port: MessagePort) =>
  answerLine(port, "http://phone.example.org/bench/", async (request, form) =>
    writtenOut(await bench.app.fetch(request, { form })),
  );

function timePasses(): void {
  for (const timer of timers.splice(0)) if (!timer.off) timer.work();
}

test("a form that comes by the line is answered as by a request", async () => {
  const answer = await makeLine(atWork).ask(FORM);

  expect(answer?.status).toBe(200);
  expect(new Headers(answer?.headers).get("Content-Type")).toBe("text/html; charset=utf-8");
  expect(answer?.text).toContain('aria-pressed="true"');
  expect(timers.every(({ off }) => off)).toBe(true);
});

test("refusals come by the line too", async () => {
  const answer = await makeLine(atWork).ask({ ...FORM, body: "outcome=nonsense" });

  expect(answer?.status).toBe(400);
  expect(answer?.text).not.toBe("");
});

test("several forms on one line get their own answers", async () => {
  const line = makeLine(atWork);
  const ask = (step: string) =>
    line.ask({ ...FORM, url: TICK.replace("look", step), headers: { "HX-Request": "true" } });
  const answers = await Promise.all([ask("look"), ask("wash")]);
  const texts = answers.map((answer) => answer?.text);

  expect(texts[0]).toContain('id="step-look"');
  expect(texts[1]).toMatch(/^<li id="step-wash"/);
});

test("a worker that was stopped is not waited for, and the next form has a new line", async () => {
  let isStopped = true;
  const line = makeLine((port) => {
    if (!isStopped) atWork(port);
  });
  const asking = line.ask(FORM);
  isStopped = false;
  timePasses();

  expect(await asking).toBeUndefined();
  expect((await line.ask(FORM))?.status).toBe(200);
});

test("a worker that dies over its answer is given up, and what it kept is kept once", async () => {
  const line = makeLine((port) => {
    port.onmessage = async ({ data }) => {
      const { url, headers, body } = data;
      const type = { "Content-Type": "application/x-www-form-urlencoded" };
      await bench.app.request(url, { method: "POST", headers: { ...headers, ...type }, body });
      port.postMessage({ id: data.id });
    };
  });
  const asking = line.ask(FORM);
  while (timers.length < 2) await new Promise((resolve) => setTimeout(resolve, 5));
  timePasses();

  expect(await asking).toBeUndefined();
  await bench.post(TICK, { outcome: "done" }, { "X-Entry-Id": ID });
  expect((await findJob(JOB))?.entries).toHaveLength(1);
});

test("without a worker there is no line", async () => {
  const line = new Line({ connect: () => undefined, later: () => () => undefined });
  line.open();

  expect(await line.ask(FORM)).toBeUndefined();
});
