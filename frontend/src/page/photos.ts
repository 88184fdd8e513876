/* Takes a photo from the camera, makes it small, and hands it to the worker as raw bytes. */
import { v7 } from "uuid";
import { say } from "../words/page";
import { htmx } from "./htmx-setup";
import { pageId } from "./page-id";
import { sizeWithin } from "./photo-size";
import { clearTrouble, showTrouble } from "./trouble";

const QUALITY = 0.82;

type Shrunk = { blob: Blob; width: number; height: number };

/** Drawing the picture anew also leaves out everything the camera wrote beside it, the place included. */
async function shrink(file: File): Promise<Shrunk> {
  const bitmap = await createImageBitmap(file, { imageOrientation: "from-image" });
  const size = sizeWithin(bitmap.width, bitmap.height);
  const canvas = document.createElement("canvas");
  canvas.width = size.width;
  canvas.height = size.height;
  canvas.getContext("2d")?.drawImage(bitmap, 0, 0, size.width, size.height);
  bitmap.close();
  const blob = await new Promise<Blob | null>((resolve) =>
    canvas.toBlob(resolve, "image/jpeg", QUALITY),
  );
  if (!blob || blob.size === 0) throw new Error("empty picture");
  return { blob, ...size };
}

async function send(url: string, photo: Shrunk): Promise<Response> {
  return fetch(url, {
    method: "POST",
    headers: { "Content-Type": "image/jpeg", "X-Entry-Id": v7(), "X-Page": pageId },
    body: await photo.blob.arrayBuffer(),
  });
}

function urlFor(input: HTMLInputElement, photo: Shrunk): string {
  const url = new URL(input.dataset.photoTo ?? "", location.href);
  url.searchParams.set("width", String(photo.width));
  url.searchParams.set("height", String(photo.height));
  return url.pathname + url.search;
}

async function keep(input: HTMLInputElement, file: File): Promise<void> {
  const photo = await shrink(file);
  const response = await send(urlFor(input, photo), photo);
  const text = await response.text();
  if (!response.ok) {
    showTrouble(text || say("photo.not-kept"));
    return;
  }
  clearTrouble();
  const target = document.querySelector(input.dataset.photoInto ?? "#photos");
  if (target) await htmx.swap({ text, target, swap: "outerMorph" });
}

async function onChosen(event: Event): Promise<void> {
  const input = event.target as HTMLInputElement;
  const file = input.files?.[0];
  if (input.type !== "file" || !input.dataset.photoTo || !file) return;
  const label = input.closest("label");
  label?.setAttribute("aria-busy", "true");
  try {
    await keep(input, file);
  } catch {
    showTrouble(say("photo.unreadable"));
  } finally {
    label?.removeAttribute("aria-busy");
    input.value = "";
  }
}

export function startPhotos(): void {
  document.addEventListener("change", (event) => void onChosen(event));
}
