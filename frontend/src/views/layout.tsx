/* The frame of every bench page: who works here, what is kept, the page itself and the bar under the thumb. */

import type { Child } from "../html/jsx-runtime";
import type { OpeningHours, OtherPhone, Person, RunningHands, WorkshopInfo } from "../store/schema";
import { catalogue, say } from "../words/bench";
import { Glyph } from "./glyph";
import { HandsLine } from "./hands";
import { type Kept, KeptLine } from "./kept-line";
import { type Truth, TruthLine } from "./truth";
import { Who } from "./who";

export type Assets = {
  css: string;
  font: string;
  page: string;
  scan: string;
  manifest: string;
  icon: string;
};

export type Frame = {
  assets: Assets;
  workshop: WorkshopInfo | undefined;
  person: Person | undefined;
  /** The id of the person at work, also when the newest list of people does not know it. */
  me: string;
  /** Where this person has hands on a bike. */
  hands: RunningHands[];
  /** When the shop is open; empty while that is not known. */
  hours: OpeningHours;
  /** What other phones of the shop have open. */
  others: OtherPhone[];
  truth: Truth;
};

type LayoutProps = {
  frame: Frame;
  title: string;
  /** Where the way back leads; the list of jobs has none. */
  back?: { href: string; word: string };
  /** Set on pages of one job: keeps the screen awake and hears of changes. */
  job?: string;
  /** Asks for itself again when the job changed elsewhere. */
  refresh?: string;
  /** The bar under the thumb. */
  foot?: Child;
  /** What was kept on the way to this page. */
  kept?: Kept | undefined;
  /** A script that this page alone needs. */
  script?: string;
  children: Child;
};

function Head({ frame, title, script }: Pick<LayoutProps, "frame" | "title" | "script">) {
  return (
    <head>
      <meta charset="utf-8" />
      <meta name="viewport" content="width=device-width, initial-scale=1, viewport-fit=cover" />
      <title>{`${title} · ${frame.workshop?.name ?? say("frame.bench")}`}</title>
      <meta name="theme-color" media="(prefers-color-scheme: light)" content="#fafbfa" />
      <meta name="theme-color" media="(prefers-color-scheme: dark)" content="#191f1d" />
      <link rel="preload" as="font" type="font/woff2" href={frame.assets.font} crossorigin="" />
      <link rel="stylesheet" href={frame.assets.css} />
      <link rel="manifest" href={frame.assets.manifest} />
      <link rel="icon" href={frame.assets.icon} />
      <link rel="apple-touch-icon" href={frame.assets.icon} />
      <script src={frame.assets.page} defer></script>
      {script ? <script src={script} defer></script> : null}
    </head>
  );
}

function Top({ frame, back }: Pick<LayoutProps, "frame" | "back">) {
  return (
    <header>
      <div class="top bench-top">
        {back ? (
          <a class="home" href={back.href}>
            <Glyph name="back" />
            {back.word}
          </a>
        ) : (
          <span class="home">{frame.workshop?.name ?? say("frame.bench")}</span>
        )}
        <Who frame={frame} />
      </div>
      <div class="status">
        <TruthLine truth={frame.truth} />
        <HandsLine frame={frame} />
      </div>
    </header>
  );
}

function NewVersion() {
  return (
    <div id="new-version" class="toast" hidden>
      <span>{say("frame.new-version")}</span>
      <button type="button" class="button">
        {say("frame.use-it")}
      </button>
    </div>
  );
}

function Main({ refresh, children }: { refresh: string | undefined; children: Child }) {
  const asking = refresh
    ? {
        "hx-get": refresh,
        "hx-trigger": "bench:changed from:body",
        "hx-select": "#main",
        "hx-select-oob": "#bar:outerMorph",
        "hx-swap": "outerMorph",
        "hx-sync": "this:replace",
      }
    : {};
  return (
    <main id="main" class="page stack bench-page" tabindex={-1} {...asking}>
      {children}
    </main>
  );
}

export function Layout(props: LayoutProps) {
  const { frame, title, back, job, refresh, foot, kept, script, children } = props;
  return (
    <html lang={catalogue.language}>
      <Head frame={frame} title={title} {...(script ? { script } : {})} />
      <body {...(job ? { "data-job": job } : {})} class={foot ? "bench with-foot" : "bench"}>
        <a class="skip" href="#main">
          {say("frame.skip")}
        </a>
        <Top frame={frame} {...(back ? { back } : {})} />
        <NewVersion />
        <p id="trouble" class="error trouble" role="alert" hidden></p>
        <Main refresh={refresh}>{children}</Main>
        <section class="foot" aria-label={say("frame.foot")}>
          <KeptLine kept={kept} />
          <div id="bar">{foot}</div>
        </section>
      </body>
    </html>
  );
}

/** A whole page as text: the doctype cannot be written in JSX. */
export function page(content: Child): string {
  return `<!doctype html>${content}`;
}
