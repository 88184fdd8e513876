/* The script of every bench page: installs the worker on the install page, or brings a drawn page to life. */
import "./htmx-setup";
import { listenForChanges } from "./changes";
import { installBench } from "./install";
import { startPad } from "./pad";
import { startPhotos } from "./photos";
import { guardRequests } from "./requests";
import { startSync } from "./sync-triggers";
import { offerNewVersion } from "./update";
import { keepAwake } from "./wake";

const installPage = document.querySelector<HTMLElement>("[data-install]");
if (installPage) {
  void installBench(installPage);
} else {
  guardRequests();
  listenForChanges();
  startPad();
  startPhotos();
  startSync();
  keepAwake();
  void offerNewVersion();
}
