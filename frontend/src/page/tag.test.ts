import { expect, test } from "vitest";
import { readTag } from "./tag";

const JOB = "0190a000-0000-7000-8000-00000000000a";
const HOST = "shop.example.org";

test.each([
  [`https://${HOST}/bench/jobs/${JOB}`, { job: JOB }],
  [` http://${HOST}/bench/jobs/${JOB.toUpperCase()}\n`, { job: JOB }],
  [`https://${HOST}:8443/bench/jobs/${JOB}`, "foreign"],
  [`https://other.example.org/bench/jobs/${JOB}`, "foreign"],
  [`https://${HOST}/bench/jobs/17`, "other"],
  [`https://${HOST}/bench/jobs/${JOB}/void`, "other"],
  [`https://${HOST}/jobs/${JOB}/`, "other"],
  [`/bench/jobs/${JOB}`, "other"],
  ["5 012345 678900", "other"],
  ["", "other"],
])("the code “%s” is read as %j", (text, tag) => {
  expect(readTag(text, HOST)).toEqual(tag);
});
