/* What is said when a job, a step or a page is not on this phone. */
import { say } from "../words/bench";
import { Hidden } from "./forms";
import { type Frame, Layout } from "./layout";

/** With `path` where fetching may bring it. */
type Props = { frame: Frame; what: string; path?: string };

function Fetch({ path }: { path: string }) {
  return (
    <form method="post" action="/bench/fetch" class="sticky lone">
      <Hidden values={{ back: path }} />
      <button type="submit" class="button primary large full">
        {say("missing.fetch")}
      </button>
    </form>
  );
}

export function MissingPage({ frame, what, path }: Props) {
  return (
    <Layout
      frame={frame}
      title={say("missing.title")}
      back={{ href: "/bench/", word: say("frame.jobs") }}
      foot={path === undefined ? undefined : <Fetch path={path} />}
    >
      <h1>{say("missing.title")}</h1>
      <p>{what}</p>
    </Layout>
  );
}
