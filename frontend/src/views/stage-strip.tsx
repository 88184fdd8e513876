/* The stages of a job drawn side by side, each as wide as it has steps and filled as far as it is done. */
import type { StageView } from "./job-model";

const WIDTH = 320;
const HEIGHT = 10;
const GAP = 2;
/** The mark over the stage that is at work. */
const POINT = 5;

type Box = { x: number; width: number; done: number; stage: string };

function boxes(stages: readonly StageView[]): Box[] {
  const steps = stages.reduce((sum, { total }) => sum + total, 0);
  const room = WIDTH - GAP * Math.max(0, stages.length - 1);
  let x = 0;
  return stages.map(({ stage, total, done }) => {
    const width = (room * total) / steps;
    const box = { x, width, stage, done: (width * done) / total };
    x += width + GAP;
    return box;
  });
}

const short = (length: number): string => String(Math.round(length * 10) / 10);
const rect = (x: number, width: number): string =>
  `M${short(x)} ${POINT}h${short(width)}v${HEIGHT}h${short(-width)}z`;

/** The words beside it say how many steps are done; the picture says where. */
export function StageStrip({ stages, now }: { stages: StageView[]; now: string | undefined }) {
  const all = boxes(stages);
  const at = all.find(({ stage }) => stage === now);
  const middle = at && at.x + at.width / 2;
  return (
    <svg
      class="stage-strip"
      viewBox={`0 0 ${WIDTH} ${POINT + HEIGHT}`}
      preserveAspectRatio="none"
      aria-hidden="true"
    >
      <path class="strip-all" d={all.map(({ x, width }) => rect(x, width)).join("")} />
      <path
        class="strip-done"
        d={all.map(({ x, done }) => (done > 0 ? rect(x, done) : "")).join("")}
      />
      {middle === undefined ? null : (
        <path class="strip-now" d={`M${short(middle - 5)} 0h10l-5 ${POINT}z`} />
      )}
    </svg>
  );
}
