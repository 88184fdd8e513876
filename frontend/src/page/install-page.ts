/* The script of the server's page that puts the bench on a phone. */
import { type Languages, learnLanguage } from "../words/languages";
import { catalogue } from "../words/page";
import { takeSecret } from "./code";
import { keepInstallOffer } from "./home-screen";
import { installBench } from "./install";

declare const BENCH_WORDS: Languages;

// Before anything else: nobody should read the secret over a shoulder, or find it in the history.
const secret = takeSecret();
// Another code opened in the same tab loads nothing by itself.
window.addEventListener("hashchange", () => {
  if (takeSecret()) location.reload();
});
keepInstallOffer();

const place = document.querySelector<HTMLElement>("[data-install]");
const { lang } = document.documentElement;
const learnt = learnLanguage(catalogue, "page", [lang], BENCH_WORDS, fetch);
if (place) void learnt.then(() => installBench(place, secret));
