/*
 * What JSX becomes here: a string of HTML, written at once from the inside out. Text is escaped; only what was
 * drawn by this module goes in as it is. The names of the exports are those that the compilers call.
 */

/** HTML that is ready: everything in it was escaped or drawn here. */
export class Html {
  readonly text: string;

  constructor(text: string) {
    this.text = text;
  }

  toString(): string {
    return this.text;
  }
}

export type Child = Html | string | number | boolean | null | undefined | Child[];

type Attributes = { [name: string]: Child };
type Component = (props: never) => Html | null;

export declare namespace JSX {
  type Element = Html | null;
  type ElementType = string | Component;
  type ElementChildrenAttribute = { children: Child };
  type IntrinsicElements = { [tag: string]: Attributes };
}

const ESCAPES: Record<string, string> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "'": "&#39;",
};
/** Elements without an end tag. */
const VOID = /^(?:area|base|br|col|embed|hr|img|input|link|meta|source|track|wbr)$/;

function escaped(text: string): string {
  return text.replace(/[&<>"']/g, (sign) => ESCAPES[sign] as string);
}

function written(child: Child): string {
  if (child instanceof Html) return child.text;
  if (Array.isArray(child)) return child.map(written).join("");
  if (child == null || typeof child === "boolean") return "";
  return escaped(String(child));
}

/** True is an attribute without a value; false and nothing leave it out. */
function attribute(name: string, value: Child): string {
  if (value == null || value === false) return "";
  return value === true ? ` ${name}=""` : ` ${name}="${escaped(String(value))}"`;
}

export function jsx(tag: string | Component, props: Attributes): Html | null {
  if (typeof tag === "function") return tag(props as never);
  let text = `<${tag}`;
  for (const name in props) if (name !== "children") text += attribute(name, props[name]);
  return new Html(VOID.test(tag) ? `${text}>` : `${text}>${written(props.children)}</${tag}>`);
}

/** @alias For elements with several children. */
export const jsxs = jsx;

export function Fragment({ children }: { children?: Child }): Html {
  return new Html(written(children));
}
