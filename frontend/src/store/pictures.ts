/* Which photos can be shown without asking anybody: taken on this phone, or fetched small. */
import { withDatabase } from "./database";

export async function whichAreHere(names: readonly string[]): Promise<ReadonlySet<string>> {
  if (names.length === 0) return new Set();
  return withDatabase(async (database) => {
    const tx = database.transaction(["photos", "thumbs"]);
    const [photos, thumbs] = [tx.objectStore("photos"), tx.objectStore("thumbs")];
    const found = await Promise.all(
      names.map(async (sha256) => {
        const [own, thumb] = await Promise.all([photos.getKey(sha256), thumbs.get(sha256)]);
        return own !== undefined || thumb?.bytes ? [sha256] : [];
      }),
    );
    return new Set(found.flat());
  });
}
