/*
 * Says the sentences of a catalogue: {name} is replaced by its value, plural forms are chosen by {n}, and
 * <name>…</name> marks words that a page draws in its own way. Numbers are written as the language does.
 */

/** One form, or one for each plural category that the language tells apart (CLDR names). */
export type Sentence = string | ({ other: string } & Partial<Record<Intl.LDMLPluralRule, string>>);
export type Values = Record<string, string | number>;

/** The part of the keys before the first point: "verdict" of "verdict.sound". */
type GroupOf<Key extends string> = Key extends `${infer Group}.${string}` ? Group : never;

const ENGLISH = { language: "en", locale: "en-GB" };

/** A catalogue that can be exchanged for another language's; what that one lacks is said in English. */
export class Catalogue<Key extends string> {
  /** For the page's lang attribute. */
  language = ENGLISH.language;
  /** For dates, numbers and money. */
  locale = ENGLISH.locale;
  #english: Record<Key, Sentence>;
  #sentences: Partial<Record<Key, Sentence>>;
  #plural = new Intl.PluralRules(ENGLISH.locale);
  #numbers = numbersOf(ENGLISH.locale);

  constructor(english: Record<Key, Sentence>) {
    this.#english = english;
    this.#sentences = english;
  }

  /** BCP 47 language tag and its sentences. */
  speak(language: string, sentences: Partial<Record<Key, Sentence>>): void {
    this.language = language;
    this.locale = language === ENGLISH.language ? ENGLISH.locale : language;
    this.#sentences = sentences;
    this.#plural = new Intl.PluralRules(this.locale);
    this.#numbers = numbersOf(this.locale);
  }

  say = (key: Key, values: Values = {}): string => this.#fill(this.#find(key, values), values);

  /** The same in pieces: the words inside <name>…</name> are drawn by the function of that name. */
  rich = <Drawn>(
    key: Key,
    draw: Record<string, (words: string) => Drawn>,
    values: Values = {},
  ): (string | Drawn)[] => {
    const pieces: (string | Drawn)[] = [];
    const cut = this.#find(key, values).split(/<(\w+)>(.*?)<\/\1>/);
    for (let at = 0; at < cut.length; at += 3) {
      const [plain = "", name, marked = ""] = cut.slice(at, at + 3);
      pieces.push(this.#fill(plain, values));
      if (name) pieces.push(draw[name]?.(this.#fill(marked, values)) ?? marked);
    }
    return pieces;
  };

  /** The word for a value of the data, such as a verdict; the value itself where the catalogue has none. */
  word = (group: GroupOf<Key>, value: string): string => {
    const key = `${group}.${value}` as Key;
    return Object.hasOwn(this.#english, key) ? this.say(key) : value;
  };

  /** At most three decimals, no trailing zeros. */
  number = (value: number): string => this.#numbers.format(value);

  #find(key: Key, values: Values): string {
    const sentence = this.#sentences[key] ?? this.#english[key];
    if (typeof sentence === "string") return sentence;
    return sentence[this.#plural.select(Number(values.n))] ?? sentence.other;
  }

  #fill(text: string, values: Values): string {
    return text.replace(/\{(\w+)\}/g, (whole, name: string) => {
      const value = values[name] ?? whole;
      return typeof value === "number" ? this.number(value) : value;
    });
  }
}

function numbersOf(locale: string): Intl.NumberFormat {
  return new Intl.NumberFormat(locale, { maximumFractionDigits: 3, useGrouping: false });
}
