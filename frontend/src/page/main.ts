/* The script of every bench page: installs the worker on the install page, or brings a drawn page to life. */
import "./htmx-setup";
import { type Languages, learnLanguage } from "../words/languages";
import { catalogue } from "../words/page";
import { listenForChanges } from "./changes";
import { startClock } from "./clock";
import { installBench } from "./install";
import { startKeptLine } from "./kept-line";
import { startPad } from "./pad";
import { startPhotos } from "./photos";
import { guardRequests } from "./requests";
import { startSync } from "./sync-triggers";
import { offerNewVersion } from "./update";
import { keepAwake } from "./wake";
import { startWho } from "./who";

declare const BENCH_WORDS: Languages;

const { lang } = document.documentElement;
const learnt = learnLanguage(catalogue, "page", [lang], BENCH_WORDS, fetch);
const installPage = document.querySelector<HTMLElement>("[data-install]");
if (installPage) {
  void learnt.then(() => installBench(installPage));
} else {
  guardRequests();
  listenForChanges();
  startPad();
  startClock();
  startKeptLine();
  startWho();
  startPhotos();
  startSync();
  keepAwake();
  void offerNewVersion();
}
