/* Jobs whose steps are still on their way to this phone: named, but not to be opened yet. */
import type { JobBrief } from "../store/schema";
import { say } from "../words/bench";

export function Coming({ jobs }: { jobs: JobBrief[] }) {
  if (jobs.length === 0) return null;
  return (
    <section class="day" id="coming">
      <h2 class="day-heading">
        {say("coming.title")} <small>{say("today.jobs", { n: jobs.length })}</small>
      </h2>
      <p class="soft">{say("coming.why")}</p>
      <ul>
        {jobs.map(({ number, bike }) => (
          <li>{say("coming.job", { number, bike })}</li>
        ))}
      </ul>
    </section>
  );
}
