/**
 * What was asked of the customer, what was answered, and what waits for parts?
 * See also shopfloor/journal/offers.py.
 */
import { uuidIn } from "./bodies";
import { findUuid } from "./entry";
import type { Added, Decision, FindingBody, Head, Row } from "./state";
import { byCodeUnits, type JsonObject } from "./values";

// Where two answers differ, the one that does less to the bike and the bill is taken.
const CAUTION: readonly Decision[] = ["no", "withdrawn", "yes"];

type Line = { finding: string; offer: string; version: number; decision: Decision };

/** The asked entries of the newest version of each offer. */
export function currentAsked(heads: readonly Head[]): Head[] {
  const asked = heads.filter((head) => head.kind === "asked");
  const newest = new Map<string, number>();
  for (const head of asked) {
    const offer = uuidIn(head.body, "offer");
    newest.set(offer, Math.max(newest.get(offer) ?? 0, versionOf(head)));
  }
  return asked.filter((head) => versionOf(head) === newest.get(uuidIn(head.body, "offer")));
}

/**
 * The findings of offers whose present version has no answer yet. What the customer was only told
 * about, inside the agreed limit, needs no answer.
 */
export function listAsking(heads: readonly Head[], asked: readonly Head[]): string[] {
  const answered = new Set(heads.filter((head) => head.kind === "answer").map(answerPlace));
  const waiting = asked.filter(
    (head) => head.body.told !== true && !answered.has(answerPlace(head)),
  );
  return [...new Set(waiting.flatMap(findingsOf))].sort(byCodeUnits);
}

/**
 * The decision on each finding, and the places whose answers contradict each other. In one offer the
 * newest version that speaks of a finding decides. Where that leaves two decisions (two answers to
 * one version, or two offers), the cautious one is taken.
 */
export function readAnswers(heads: readonly Head[]): {
  answers: Record<string, Decision>;
  disputed: Set<string>;
} {
  const lines = newestLines(heads);
  const answers: Record<string, Decision> = {};
  const disputed = new Set<string>();
  for (const finding of new Set(lines.map((line) => line.finding))) {
    const own = lines.filter((line) => line.finding === finding);
    const decision = CAUTION.find((word) => own.some((line) => line.decision === word));
    if (decision === undefined) continue;
    answers[finding] = decision;
    if (own.some((line) => line.decision !== decision)) {
      for (const line of own) disputed.add(`answer:${line.offer}:${line.version}`);
    }
  }
  return { answers, disputed };
}

/**
 * The findings that are agreed to and wait for a part said not to be in stock. Agreed: the customer
 * said yes, or was told of it inside the limit, or its work was added, and nobody said no.
 */
export function listParts(
  findings: readonly Row<FindingBody>[],
  given: {
    answers: Readonly<Record<string, Decision>>;
    asked: readonly Head[];
    added: readonly Added[];
    arrived: Readonly<Record<string, unknown>>;
  },
): string[] {
  const told = given.asked.filter((head) => head.body.told === true).flatMap(findingsOf);
  const taken = new Set([...told, ...given.added.map((one) => one.finding)]);
  return findings
    .filter(
      ({ id, body }) =>
        (given.answers[id] ?? (taken.has(id) ? "yes" : "")) === "yes" &&
        (body.parts ?? []).some((part) => part.in_stock === false) &&
        !Object.hasOwn(given.arrived, `parts:${id}`),
    )
    .map((row) => row.id);
}

/** The lines that no newer version of their offer speaks of. */
function newestLines(heads: readonly Head[]): Line[] {
  const lines = heads.filter((head) => head.kind === "answer").flatMap(linesOf);
  const newest = new Map<string, number>();
  for (const line of lines) {
    newest.set(about(line), Math.max(newest.get(about(line)) ?? 0, line.version));
  }
  return lines.filter((line) => line.version === newest.get(about(line)));
}

function about(line: Line): string {
  return `${line.finding} ${line.offer}`;
}

function linesOf(head: Head): Line[] {
  const offer = uuidIn(head.body, "offer");
  return (head.body.lines as JsonObject[]).map((line) => ({
    finding: uuidIn(line, "finding"),
    offer,
    version: versionOf(head),
    decision: line.decision as Decision,
  }));
}

function answerPlace(head: Head): string {
  return `answer:${uuidIn(head.body, "offer")}:${versionOf(head)}`;
}

function findingsOf(head: Head): string[] {
  return (head.body.findings as unknown[]).map((finding) => findUuid(finding) ?? "");
}

function versionOf(head: Head): number {
  return Number(head.body.version);
}
