/* A job that was just opened at the stand: what to write on its tag, a photo of the bike, and on with the work. */
import { tagCode } from "../journal/tag-code";
import type { ListedJob, WalkInRow } from "../store/schema";
import { say } from "../words/bench";
import type { JobView } from "./job-model";
import { type Frame, Layout } from "./layout";
import { jobPath, walkInPath } from "./paths";
import { Camera, PhotoStrip } from "./photos";

type Props = { frame: Frame; job: JobView; walkIn: WalkInRow | undefined; odd: boolean };

export function WalkInOpenedPage({ frame, job, walkIn, odd }: Props) {
  const { id, number, bike } = job.header;
  const here = new Set(job.state.photos.flatMap(({ body }) => body.sha256 ?? []));
  const waits = walkIn?.unsent !== undefined || walkIn?.refused !== undefined;
  return (
    <Layout
      frame={frame}
      title={number}
      back={{ href: "/bench/", word: say("frame.jobs") }}
      job={id}
      refresh={walkInPath(id)}
    >
      <h1>{bike}</h1>
      <section class="panel stack tight" aria-label={say("walk-in.tag")}>
        <p>{say("walk-in.write-tag")}</p>
        <p class="tag-code">{waits ? tagCode(id) : number}</p>
        <p>{say(waits ? "walk-in.desk-later" : "walk-in.desk-knows", { number })}</p>
      </section>
      {walkIn?.refused ? (
        <div class="notice" role="alert">
          <h2>{say("walk-in.refused")}</h2>
          <p>{walkIn.refused}</p>
          <p>{say("walk-in.refused-waits")}</p>
          <form method="post" action={`${walkInPath(id)}/mend`}>
            <button type="submit" class="button full">
              {say("walk-in.mend")}
            </button>
          </form>
        </div>
      ) : null}
      {odd ? <p class="strong">{say("walk-in.phone-odd")}</p> : null}
      <a class="button primary large full" href={jobPath(id)}>
        {say("walk-in.begin")}
      </a>
      <section class="stack tight" aria-label={say("walk-in.photo")}>
        <Camera job={id} view={undefined} item="" phase="before" words={say("walk-in.photo")} />
        <PhotoStrip job={job} photos={job.state.photos} here={here} />
      </section>
    </Layout>
  );
}

/** What still says the short code although the desk has given a number by now. */
export function OldTags({ walkIns, jobs }: { walkIns: WalkInRow[]; jobs: ListedJob[] }) {
  const tags = walkIns.flatMap((walkIn) => jobs.filter(({ header }) => header.id === walkIn.id));
  return (
    <>
      {tags.map(({ header }) => (
        <form
          method="post"
          action={`${walkInPath(header.id)}/labelled`}
          class="notice quiet stack tight"
        >
          <p>{say("walk-in.old-tag", { code: tagCode(header.id), number: header.number })}</p>
          <button type="submit" class="button full">
            {say("walk-in.labelled", { number: header.number })}
          </button>
        </form>
      ))}
    </>
  );
}
