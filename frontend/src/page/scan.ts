/* The scan page: shows the camera, opens the job of the first tag it can read, and says what else it sees. */
import { say } from "../words/page";
import { makeReader, type ReadCode } from "./code-reader";
import { readTag } from "./tag";

/** Between two looks the page answers; a tag stays in the picture longer than this. */
const PAUSE_MS = 120;

let stream: MediaStream | undefined;
/** Asking for the camera twice at once would take it away from the first. */
let starting = false;

function tell(sentence: string): void {
  const line = document.querySelector<HTMLElement>("#scan-line");
  if (line && line.textContent !== sentence) line.textContent = sentence;
}

/** Why there is no picture, with what to do instead. */
function refusal(error: unknown): string {
  const name = error instanceof DOMException ? error.name : "";
  if (name === "NotAllowedError" || name === "SecurityError") return say("scan.not-allowed");
  if (name === "NotReadableError") return say("scan.in-use");
  return say("scan.no-camera");
}

async function startCamera(video: HTMLVideoElement): Promise<void> {
  stream = await navigator.mediaDevices.getUserMedia({
    audio: false,
    video: { facingMode: "environment", width: { ideal: 1280 }, height: { ideal: 720 } },
  });
  video.srcObject = stream;
  await video.play();
}

function stopCamera(): void {
  for (const track of stream?.getTracks() ?? []) track.stop();
  stream = undefined;
}

/** True when a job is being opened. */
function open(text: string): boolean {
  const tag = readTag(text, location.host);
  if (tag === "foreign") tell(say("scan.foreign"));
  else if (tag === "other") tell(say("scan.other"));
  else {
    tell(say("scan.found"));
    stopCamera();
    location.assign(`/bench/jobs/${tag.job}`);
    return true;
  }
  return false;
}

async function look(video: HTMLVideoElement, read: ReadCode): Promise<void> {
  while (stream) {
    const text = await read(video).catch(() => undefined);
    if (text !== undefined && open(text)) return;
    await new Promise((resolve) => setTimeout(resolve, PAUSE_MS));
  }
}

async function scan(video: HTMLVideoElement): Promise<void> {
  if (starting || stream || document.visibilityState !== "visible") return;
  starting = true;
  try {
    const read = await makeReader();
    await startCamera(video);
    video.hidden = false;
    tell(say("scan.hold"));
    void look(video, read);
  } catch (error) {
    stopCamera();
    tell(refusal(error));
  } finally {
    starting = false;
  }
}

const video = document.querySelector<HTMLVideoElement>("#viewfinder");
if (video) {
  void scan(video);
  window.addEventListener("pagehide", stopCamera);
  window.addEventListener("pageshow", () => void scan(video));
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") void scan(video);
    else stopCamera();
  });
}
