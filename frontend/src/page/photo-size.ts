/* How small a photo is made before it is kept. Pure. */

const LONG_SIDE = 1600;

export function sizeWithin(width: number, height: number): { width: number; height: number } {
  const scale = Math.min(1, LONG_SIDE / Math.max(width, height));
  return { width: Math.round(width * scale), height: Math.round(height * scale) };
}
