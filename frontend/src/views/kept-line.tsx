/* What was just kept, in words, with the way to take it back: in place of a question beforehand. */
import type { Entry } from "../journal/entry";
import { say, word } from "../words/bench";
import { entryInWords } from "./entry-words";
import { actionAttributes } from "./forms";
import { Glyph } from "./glyph";
import type { JobView } from "./job-model";
import { jobPath, smallPhotoPath } from "./paths";

export type Kept = { job: JobView; entry: Entry };

/** Always on the page, so that what comes into it is read out; empty until something was kept. */
export function KeptLine({ kept }: { kept?: Kept | undefined }) {
  return (
    <div id="kept" role="status">
      {kept ? <KeptNow {...kept} at="#kept" /> : null}
    </div>
  );
}

/** The same for an answer; undoing draws anew what stands at `at`. */
export function KeptChange({ job, entry, at }: Kept & { at: string }) {
  return (
    <div id="kept" hx-swap-oob="innerHTML">
      <KeptNow job={job} entry={entry} at={at} />
    </div>
  );
}

/** What the one before had written is not for the next to take back. */
export function NothingKept() {
  return <div id="kept" hx-swap-oob="innerHTML" />;
}

export function TakenBack() {
  return (
    <div id="kept" hx-swap-oob="innerHTML">
      <p class="toast">{say("undo.done")}</p>
    </div>
  );
}

/** With what it means, where there is a limit: the one sentence for those who listen. */
function keptInWords(job: JobView, entry: Entry): string {
  const what = entryInWords(job, entry);
  const asks = job.steps.flatMap((view) => view.asks);
  const verdict = asks.find(({ heads }) => heads.some(({ id }) => id === entry.id))?.verdict;
  if (!verdict) return say("undo.kept", { what });
  return say("undo.kept-verdict", { what, verdict: word("verdict", verdict) });
}

function KeptNow({ job, entry, at }: Kept & { at: string }) {
  const { sha256 } = entry.body;
  const isPhoto = entry.kind === "photo" && sha256 !== undefined;
  return (
    <p class="toast">
      {isPhoto ? <img src={smallPhotoPath(String(sha256))} alt="" /> : null}
      <span>{keptInWords(job, entry)}</span>
      <button
        type="button"
        class="button"
        {...actionAttributes(`${jobPath(job.header.id)}/undo`, at, { entry: entry.id })}
      >
        <Glyph name="undo" />
        {say("undo.do")}
      </button>
    </p>
  );
}
