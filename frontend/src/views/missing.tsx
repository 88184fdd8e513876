/* What is said when a job, a step or a page is not on this phone. */
import { say } from "../words/bench";
import { Hidden } from "./forms";
import { type Frame, Layout } from "./layout";

type Props = { frame: Frame; what: string; path: string };

export function MissingPage({ frame, what, path }: Props) {
  return (
    <Layout
      frame={frame}
      title={say("missing.title")}
      back={{ href: "/bench/", word: say("frame.jobs") }}
      foot={
        <form method="post" action="/bench/fetch" class="sticky lone">
          <Hidden values={{ back: path }} />
          <button type="submit" class="button primary large full">
            {say("missing.fetch")}
          </button>
        </form>
      }
    >
      <h1>{say("missing.title")}</h1>
      <p>{what}</p>
    </Layout>
  );
}
