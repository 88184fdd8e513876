/* Reads a QR code in the picture of a camera: by the browser where it can, otherwise by a decoder of our own. */
import decodeQR from "qr/decode.js";

/** The text of a code in the picture; undefined when there is none to be read. */
export type ReadCode = (video: HTMLVideoElement) => Promise<string | undefined>;

type Detector = { detect: (source: HTMLVideoElement) => Promise<{ rawValue: string }[]> };
type DetectorClass = {
  new (options: { formats: string[] }): Detector;
  getSupportedFormats: () => Promise<string[]>;
};

const FORMAT = "qr_code";
/** A tag fills a good part of the picture; more points would only cost a slow phone time. */
const LONG_SIDE = 720;

export async function makeReader(): Promise<ReadCode> {
  const Detector = (globalThis as { BarcodeDetector?: DetectorClass }).BarcodeDetector;
  const formats = (await Detector?.getSupportedFormats().catch(() => [])) ?? [];
  return Detector && formats.includes(FORMAT) ? byBrowser(Detector) : byDecoder();
}

function byBrowser(Detector: DetectorClass): ReadCode {
  const detector = new Detector({ formats: [FORMAT] });
  return async (video) => (await detector.detect(video))[0]?.rawValue;
}

function byDecoder(): ReadCode {
  const canvas = document.createElement("canvas");
  const context = canvas.getContext("2d", { willReadFrequently: true });
  return async (video) => {
    const scale = Math.min(1, LONG_SIDE / Math.max(video.videoWidth, video.videoHeight));
    canvas.width = Math.round(video.videoWidth * scale);
    canvas.height = Math.round(video.videoHeight * scale);
    if (!context || canvas.width === 0) return undefined;
    context.drawImage(video, 0, 0, canvas.width, canvas.height);
    const picture = context.getImageData(0, 0, canvas.width, canvas.height);
    try {
      return decodeQR(picture);
    } catch {
      // No code in this picture; the next one may have it.
      return undefined;
    }
  };
}
