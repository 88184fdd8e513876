/* What is said when a job, a step or a page is not on this phone. */
import { say } from "../words/bench";
import { type Frame, Layout } from "./layout";

export function MissingPage({ frame, what }: { frame: Frame; what: string }) {
  return (
    <Layout
      frame={frame}
      title={say("missing.title")}
      back={{ href: "/bench/", word: say("frame.jobs") }}
    >
      <h1>{say("missing.title")}</h1>
      <p>{what}</p>
      <form method="post" action="/bench/kept/send">
        <button type="submit" class="button primary large">
          {say("missing.fetch")}
        </button>
      </form>
    </Layout>
  );
}
