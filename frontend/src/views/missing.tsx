/* What is said when a job, a step or a page is not on this phone. */
import { type Frame, Layout } from "./layout";

export function MissingPage({ frame, what }: { frame: Frame; what: string }) {
  return (
    <Layout frame={frame} title="Not on this phone" back={{ href: "/bench/", word: "All jobs" }}>
      <h1>Not on this phone</h1>
      <p>{what}</p>
      <form method="post" action="/bench/kept/send">
        <button type="submit" class="button primary large">
          Fetch and send now
        </button>
      </form>
    </Layout>
  );
}

export const NO_JOB =
  "This job has not been fetched to this phone, or its tag belongs to another workshop. Fetch with a connection, then scan the tag again.";
export const NO_STEP = "This job has no such step. Its route may have changed: open the job again.";
export const NO_PAGE = "There is no such page on the bench.";
