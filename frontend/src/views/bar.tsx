/* The bar under the thumb of a job and of a step: camera, finding, note, hands. */
import { say } from "../words/bench";
import { Glyph } from "./glyph";
import { HandsButton } from "./hands";
import type { JobView, StepView } from "./job-model";
import { jobPath } from "./paths";
import { Camera, phaseIn } from "./photos";

type BarProps = { job: JobView; me: string; view?: StepView };

export function Bar({ job, me, view }: BarProps) {
  const base = jobPath(job.header.id);
  const query = view ? `?step=${encodeURIComponent(view.step.key)}` : "";
  return (
    <div class="sticky-row">
      <BarCamera job={job} view={view} />
      <a class="sticky-button" href={`${base}/finding${query}`}>
        <Glyph name="finding" />
        {say("action.finding")}
      </a>
      <a class="sticky-button" href={`${base}/note${query}`}>
        <Glyph name="note" />
        {say("action.note")}
      </a>
      <HandsButton job={job} me={me} />
    </div>
  );
}

type BarCameraProps = { job: JobView; view?: StepView | undefined; oob?: boolean };

/** What it takes for granted about the photo goes with the stage that is next. */
export function BarCamera({ job, view, oob }: BarCameraProps) {
  return (
    <Camera
      job={job.header.id}
      view={view}
      item=""
      phase={phaseIn(view?.step.stage ?? job.next?.step.stage)}
      words={say("action.photo")}
      strip={view ? "step" : "job"}
      inBar
      oob={oob}
    />
  );
}
