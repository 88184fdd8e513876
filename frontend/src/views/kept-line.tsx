/* What was just kept, in words, with the way to take it back: in place of a question beforehand. */
import type { Entry } from "../journal/entry";
import { say } from "../words/bench";
import { entryInWords } from "./entry-words";
import { actionAttributes } from "./forms";
import { Glyph } from "./glyph";
import type { JobView } from "./job-model";
import { jobPath } from "./paths";

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

export function TakenBack() {
  return (
    <div id="kept" hx-swap-oob="innerHTML">
      <p class="toast">{say("undo.done")}</p>
    </div>
  );
}

function KeptNow({ job, entry, at }: Kept & { at: string }) {
  return (
    <p class="toast">
      <span>{say("undo.kept", { what: entryInWords(job, entry) })}</span>
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
