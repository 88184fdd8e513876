/* What the script of the desk says to people by itself. */
import { desk } from "../../words/en.json";
import { Catalogue } from "./catalogue";

export type DeskKey = keyof typeof desk;

export const catalogue = new Catalogue<DeskKey>(desk);
export const { say } = catalogue;
