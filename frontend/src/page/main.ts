/* The script of every bench page: brings what the worker has drawn to life. */
import "./htmx-setup";
import { type Languages, learnLanguage } from "../words/languages";
import { catalogue } from "../words/page";
import { listenForChanges } from "./changes";
import { startClock } from "./clock";
import { keepFocus } from "./focus";
import { startKeptLine } from "./kept-line";
import { openLine } from "./line";
import { startPad } from "./pad";
import { startPhotos } from "./photos";
import { guardRequests } from "./requests";
import { startSync } from "./sync-triggers";
import { offerNewVersion } from "./update";
import { keepAwake } from "./wake";
import { startWho } from "./who";

declare const BENCH_WORDS: Languages;

void learnLanguage(catalogue, "page", [document.documentElement.lang], BENCH_WORDS, fetch);
openLine();
guardRequests();
listenForChanges();
startPad();
startClock();
keepFocus();
startKeptLine();
startWho();
startPhotos();
startSync();
keepAwake();
void offerNewVersion();
