/* The list of jobs, one job and its history. */
import { listComing, listJobs } from "../store/jobs";
import { listOldTags } from "../store/walk-ins";
import { HistoryPage } from "../views/history";
import { JobPage } from "../views/job-page";
import { TodayPage } from "../views/today";
import { onJob } from "./handlers";
import { justKept, loadFrame, withUnsent } from "./load";
import { showPage } from "./respond";
import type { Router } from "./router";
import { newestPhotos, stripOf } from "./strip";

export function jobRoutes(app: Router): void {
  app.get("/bench/", async (c) => {
    const [frame, jobs, oldTags, coming] = await Promise.all([
      loadFrame(c),
      listJobs(),
      listOldTags(),
      listComing(),
    ]);
    return showPage(<TodayPage frame={frame} jobs={jobs} oldTags={oldTags} coming={coming} />);
  });
  app.get(
    "/bench/jobs/:job",
    onJob(async (c, { frame, job, me }) =>
      showPage(
        <JobPage
          frame={frame}
          job={job}
          me={me}
          others={frame.others.filter((each) => each.job === job.header.id)}
          strip={await stripOf(c, job, newestPhotos(job))}
          kept={justKept(c, job, me)}
        />,
      ),
    ),
  );
  app.get(
    "/bench/jobs/:job/history",
    onJob(async (_, { frame, job, me }) =>
      showPage(<HistoryPage frame={frame} job={await withUnsent(job)} me={me} />),
    ),
  );
}
