import { beforeEach, expect, test } from "vitest";
import { formerNames, listBeen, rememberBeen } from "./been";
import { attemptOf, dropSecret, grouped, keepSecret, secretIn, takeSecret } from "./code";

class FakeStorage {
  readonly kept = new Map<string, string>();
  getItem = (key: string) => this.kept.get(key) ?? null;
  setItem = (key: string, value: string) => void this.kept.set(key, value);
  removeItem = (key: string) => void this.kept.delete(key);
}

const SECRET = "k3f981abc0d2e4f6g8h0j1k2m3";
const [FIRST, SECOND] = [
  "019e1a00-0000-7000-8000-000000000001",
  "019e1a00-0000-7000-8000-000000000002",
];
let kept: FakeStorage;
let bar: string[];

beforeEach(() => {
  kept = new FakeStorage();
  bar = [];
});

function open(address: string): string {
  const { hash, pathname, search } = new URL(address, "https://shop.example.org");
  return takeSecret({ hash, pathname, search }, kept, (shown) => bar.push(shown));
}

test("the secret leaves the address bar and nothing else does", () => {
  expect(open(`/bench/enrol?a=1#${SECRET}`)).toBe(SECRET);
  expect(bar).toEqual(["/bench/enrol?a=1"]);
});

test("a page that has to be loaded again still knows it, under the same attempt", () => {
  open(`/bench/enrol#${SECRET}`);
  const attempt = attemptOf(kept);

  expect(open("/bench/enrol")).toBe(SECRET);
  expect(attemptOf(kept)).toBe(attempt);
  expect(bar).toHaveLength(1);
});

test("another code is another attempt", () => {
  open(`/bench/enrol#${SECRET}`);
  const attempt = attemptOf(kept);

  keepSecret("another", kept);

  expect(attemptOf(kept)).not.toBe(attempt);
});

test("once it was used nothing of it is left", () => {
  open(`/bench/enrol#${SECRET}`);
  dropSecret(kept);

  expect(kept.kept.size).toBe(0);
  expect(open("/bench/enrol")).toBe("");
});

test.each([
  [SECRET, SECRET],
  ["K3F9 81AB C0D2 E4F6 G8H0 J1K2 M3", SECRET],
  [`https://shop.example.org/bench/enrol#${SECRET}`, SECRET],
  [" k3f9-81ab ", "k3f981ab"],
  ["#", ""],
  ["", ""],
])("of “%s” the code is “%s”", (typed, secret) => {
  expect(secretIn(typed)).toBe(secret);
});

test("it is read out in groups of four", () => {
  expect(grouped(SECRET)).toBe("k3f9 81ab c0d2 e4f6 g8h0 j1k2 m3");
  expect(grouped("abcd")).toBe("abcd");
});

test("what this browser has been is remembered once each, the newest last", () => {
  for (const device of [FIRST, SECOND, FIRST]) rememberBeen(device, kept);

  expect(listBeen(kept)).toEqual([SECOND, FIRST]);
});

test.each(["", "{", "[1, null]", '{"a": 1}', '["me"]'])(
  "what cannot be read there is as good as nothing: %s",
  (text) => {
    kept.setItem("bench-been", text);
    expect(listBeen(kept)).toEqual([]);
  },
);

test("a browser that keeps nothing does not stop the phone", () => {
  const full = {
    ...kept,
    setItem: () => {
      throw new DOMException("full", "QuotaExceededError");
    },
  };

  expect(() => rememberBeen(FIRST, full)).not.toThrow();
});

test("the server is told every name once, and no more than it takes", () => {
  const many = Array.from(
    { length: 60 },
    (_, n) => `019e1a00-0000-7000-8000-${String(n).padStart(12, "0")}`,
  );

  expect(formerNames([FIRST, "nobody"], [SECOND, FIRST])).toEqual([SECOND, FIRST]);
  expect(formerNames(many, [])).toHaveLength(50);
});
