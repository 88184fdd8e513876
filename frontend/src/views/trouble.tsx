/* The page for when even the frame could not be loaded from the phone's storage. */
import { catalogue, say } from "../words/bench";
import type { Assets } from "./layout";

export function TroublePage({ assets, sentence }: { assets: Assets; sentence: string }) {
  return (
    <html lang={catalogue.language}>
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <title>{say("frame.bench")}</title>
        <link rel="stylesheet" href={assets.css} />
      </head>
      <body>
        <main class="page stack">
          <h1>{say("trouble.title")}</h1>
          <p class="error">{sentence}</p>
          <p>
            <a class="button large" href="/bench/">
              {say("trouble.again")}
            </a>
          </p>
        </main>
      </body>
    </html>
  );
}
