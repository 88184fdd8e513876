/* Which language a device reads, and how its sentences come here. English is built in; another is one file. */
import type { Catalogue } from "./catalogue";

/** Language tag to the address of its file; baked in by the build. */
export type Languages = Record<string, string>;
type Section = "bench" | "page" | "desk";

/** The first language of the device that there is a file for; nothing where that is English. */
export function chooseLanguage(
  wanted: readonly string[],
  languages: Languages,
): string | undefined {
  for (const tag of wanted) {
    const language = closest(tag, Object.keys(languages));
    if (language || /^en\b/i.test(tag)) return language;
  }
  return undefined;
}

/** "de-AT" is answered by de-AT, or else by de. */
function closest(tag: string, there: readonly string[]): string | undefined {
  const same = there.find((each) => each.toLowerCase() === tag.toLowerCase());
  const shorter = tag.slice(0, Math.max(0, tag.lastIndexOf("-")));
  return same ?? (shorter ? closest(shorter, there) : undefined);
}

/** Speaks the first wanted language that has a file. Without it the sentences stay English: better than none. */
export async function learnLanguage<Key extends string>(
  catalogue: Catalogue<Key>,
  section: Section,
  wanted: readonly string[],
  languages: Languages,
  read: (url: string) => Promise<Response>,
): Promise<void> {
  const language = chooseLanguage(wanted, languages);
  const url = language && languages[language];
  if (!url) return;
  try {
    const sections = await (await read(url)).json();
    catalogue.speak(language, sections[section] ?? {});
  } catch (error) {
    reportError(error);
  }
}
