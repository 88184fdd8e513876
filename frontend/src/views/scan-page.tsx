/* The camera as a reader of tags, and the job's number for when there is no camera or no tag. */
import { say } from "../words/bench";
import { Hidden } from "./forms";
import { type Frame, Layout } from "./layout";

export function ScanPage({ frame }: { frame: Frame }) {
  return (
    <Layout
      frame={frame}
      title={say("scan.title")}
      back={{ href: "/bench/", word: say("frame.jobs") }}
      script={frame.assets.scan}
      foot={<ByNumber />}
    >
      <h1>{say("scan.title")}</h1>
      <p id="scan-line" role="status">
        {say("scan.starting")}
      </p>
      <video id="viewfinder" class="viewfinder" playsinline muted hidden></video>
    </Layout>
  );
}

function ByNumber() {
  return (
    <form method="get" action="/bench/find" class="sticky lone with-button">
      <div class="field">
        <label for="number">{say("scan.number")}</label>
        <input id="number" name="q" autocomplete="off" enterkeyhint="go" maxlength={40} />
      </div>
      <Hidden values={{ go: "1" }} />
      <button type="submit" class="button large">
        {say("scan.open")}
      </button>
    </form>
  );
}
