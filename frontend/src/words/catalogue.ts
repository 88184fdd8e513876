/* Fills a sentence of a catalogue: {name} is replaced by its value, and plural forms are chosen by {n}. */

/** One form, or one for each plural category that the language tells apart (CLDR names). */
export type Sentence = string | ({ other: string } & Partial<Record<Intl.LDMLPluralRule, string>>);
export type Values = Record<string, string | number>;

export type Say<Key extends string> = (key: Key, values?: Values) => string;

/** A catalogue that can be exchanged for another language's; what that one lacks is said in English. */
export class Catalogue<Key extends string> {
  #english: Record<Key, Sentence>;
  #sentences: Partial<Record<Key, Sentence>>;
  #plural = new Intl.PluralRules("en");

  constructor(english: Record<Key, Sentence>) {
    this.#english = english;
    this.#sentences = english;
  }

  /** BCP 47 language tag and its sentences. */
  speak(language: string, sentences: Partial<Record<Key, Sentence>>): void {
    this.#sentences = sentences;
    this.#plural = new Intl.PluralRules(language);
  }

  say: Say<Key> = (key, values = {}) => {
    const sentence = this.#sentences[key] ?? this.#english[key];
    return fill(typeof sentence === "string" ? sentence : this.#form(sentence, values), values);
  };

  #form(forms: Exclude<Sentence, string>, values: Values): string {
    return forms[this.#plural.select(Number(values.n))] ?? forms.other;
  }
}

function fill(text: string, values: Values): string {
  return text.replace(/\{(\w+)\}/g, (whole, name: string) => String(values[name] ?? whole));
}
