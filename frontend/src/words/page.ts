/* What the script of a page says to people by itself. */
import { page } from "../../words/en.json";
import { Catalogue } from "./catalogue";

export type PageKey = keyof typeof page;

export const catalogue = new Catalogue<PageKey>(page);
export const { say, rich } = catalogue;
