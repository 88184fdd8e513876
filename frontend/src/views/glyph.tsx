/* The small signs of the house, drawn from the one list in icons/glyphs.json. */
import drawings from "../../icons/glyphs.json";

export type GlyphName = keyof typeof drawings.glyphs;

const KNOWN: Record<string, { viewBox: string; path: string }> = drawings.glyphs;

export function isGlyph(name: string): name is GlyphName {
  return Object.hasOwn(KNOWN, name);
}

/** A sign never stands alone: the word beside it says the same. */
export function Glyph({ name }: { name: GlyphName }) {
  const drawing = drawings.glyphs[name];
  return (
    <svg class="glyph" viewBox={drawing.viewBox} aria-hidden="true" focusable="false">
      <path d={drawing.path} />
    </svg>
  );
}
