/* What the phone's own server says to people. */
import { bench } from "../../words/en.json";
import { Catalogue } from "./catalogue";

export type BenchKey = keyof typeof bench;

export const catalogue = new Catalogue<BenchKey>(bench);
export const { say, rich, word } = catalogue;
