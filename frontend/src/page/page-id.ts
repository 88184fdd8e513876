/* Names this page towards the worker, so that it can leave out of an announcement the page that caused it. */
import { v7 } from "uuid";

export const pageId: string = v7();
