/*
 * Says the sentences of a catalogue: {name} is replaced by its value, plural forms are chosen by {n}, and
 * <name>…</name> marks words that a page draws in its own way. Numbers are written as the language does.
 */

/** One form, or one for each plural category that the language tells apart (CLDR names). */
export type Sentence = string | ({ other: string } & Partial<Record<Intl.LDMLPluralRule, string>>);
export type Values = Record<string, string | number>;

/** The part of the keys before the first point: "verdict" of "verdict.sound". */
type GroupOf<Key extends string> = Key extends `${infer Group}.${string}` ? Group : never;

/** How a language counts and writes numbers. */
type Rules = {
  plural: (n: number) => Intl.LDMLPluralRule;
  number: (value: number) => string;
};

const FIGURES = { maximumFractionDigits: 3, useGrouping: false };
/** From here on a number is no longer written in full. */
const HUGE = 1e15;

/** Written out: setting up the browser's own rules takes a slow phone a fifth of a second at each start of the worker. */
const ENGLISH_RULES: Rules = {
  plural: (n) => (Math.abs(n) === 1 ? "one" : "other"),
  number: (value) =>
    Math.abs(value) < HUGE
      ? String(Number(value.toFixed(3)))
      : rulesOf(ENGLISH.locale).number(value),
};

const ENGLISH = { language: "en", locale: "en-GB" };

/** A catalogue that can be exchanged for another language's; what that one lacks is said in English. */
export class Catalogue<Key extends string> {
  /** For the page's lang attribute. */
  language = ENGLISH.language;
  /** For dates, numbers and money. */
  locale = ENGLISH.locale;
  #english: Record<Key, Sentence>;
  #sentences: Partial<Record<Key, Sentence>>;
  #rules: Rules = ENGLISH_RULES;

  constructor(english: Record<Key, Sentence>) {
    this.#english = english;
    this.#sentences = english;
  }

  /** BCP 47 language tag and its sentences. */
  speak(language: string, sentences: Partial<Record<Key, Sentence>>): void {
    this.language = language;
    this.locale = language === ENGLISH.language ? ENGLISH.locale : language;
    this.#sentences = sentences;
    this.#rules = language === ENGLISH.language ? ENGLISH_RULES : rulesOf(language);
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
  number = (value: number): string => this.#rules.number(value);

  #find(key: Key, values: Values): string {
    const sentence = this.#sentences[key] ?? this.#english[key];
    if (typeof sentence === "string") return sentence;
    return sentence[this.#rules.plural(Number(values.n))] ?? sentence.other;
  }

  #fill(text: string, values: Values): string {
    return text.replace(/\{(\w+)\}/g, (whole, name: string) => {
      const value = values[name] ?? whole;
      return typeof value === "number" ? this.number(value) : value;
    });
  }
}

function rulesOf(locale: string): Rules {
  const plurals = new Intl.PluralRules(locale);
  const numbers = new Intl.NumberFormat(locale, FIGURES);
  return { plural: (n) => plurals.select(n), number: (value) => numbers.format(value) };
}
