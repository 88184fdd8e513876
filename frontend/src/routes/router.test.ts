import { expect, test } from "vitest";
import type { Deps } from "./deps";
import { Router } from "./router";

const text = (words: string) => new Response(words);

function makeRouter(): Router {
  const router = new Router({} as Deps, {
    guard: async (path) => (path === "/closed" ? text("guarded") : undefined),
    missing: () => text("missing"),
    failed: (error) => text(`failed: ${error.message}`),
  });
  router.get("/jobs/:job/steps/:step", (c) =>
    text(`${c.req.param("job")} ${c.req.param("step")} ${c.req.query("phase")}`),
  );
  router.post("/jobs/new", async (c) => text(`new ${c.req.header("X-Page")}`));
  router.post("/jobs/:job", () => text("one"));
  router.get("/broken", () => {
    throw new Error("broken");
  });
  router.get("/closed", () => text("open"));
  return router;
}

test.each([
  ["/jobs/a/steps/b%2Fc?phase=left", "a b/c left"],
  ["/jobs/a/steps/b", "a b undefined"],
  ["/jobs/a/steps/%E0%A4%A", "a %E0%A4%A undefined"],
  ["/jobs/a/steps/b/c", "missing"],
  ["/jobs/new", "missing"],
  ["/broken", "failed: broken"],
  ["/closed", "guarded"],
])("%s is answered with “%s”", async (path, answer) => {
  expect(await (await makeRouter().request(path)).text()).toBe(answer);
});

test("the first route that fits answers, by its method", async () => {
  const router = makeRouter();
  const post = async (path: string) =>
    (await router.request(path, { method: "POST", headers: { "X-Page": "p" } })).text();

  expect([await post("/jobs/new"), await post("/jobs/a")]).toEqual(["new p", "one"]);
});
