/* The small signs of the house, drawn once in icons/glyphs.json; a page takes them from one sheet. */
import type drawings from "../../icons/glyphs.json";

export type GlyphName = keyof typeof drawings.glyphs;

/** Answered by the worker with the sheet of its own version. */
export const GLYPH_SHEET = "/bench/glyphs.svg";

/** A sign never stands alone: the word beside it says the same. */
export function Glyph({ name }: { name: GlyphName }) {
  return (
    <svg class="glyph" aria-hidden="true" focusable="false">
      <use href={`${GLYPH_SHEET}#${name}`} />
    </svg>
  );
}
