/* The page for when even the frame could not be loaded from the phone's storage. */
import type { Assets } from "./layout";

export function TroublePage({ assets, sentence }: { assets: Assets; sentence: string }) {
  return (
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <title>Bench</title>
        <link rel="stylesheet" href={assets.css} />
      </head>
      <body>
        <main class="page stack">
          <h1>The bench could not be read</h1>
          <p class="error">{sentence}</p>
          <p>
            <a class="button large" href="/bench/">
              Open the jobs again
            </a>
          </p>
        </main>
      </body>
    </html>
  );
}
