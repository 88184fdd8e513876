/*
 * Brings an element to what the worker drew anew by touching only what differs: what stays keeps its focus and its
 * listeners, and nothing around it is laid out again. For the small parts that answer a tap; see also answers.ts.
 */

/** Written by the page itself, never by the worker. */
const OWN = "data-htmx-powered";
/** Attributes that say when something is asked for: after a change their listeners are set up anew. */
const WIRING = new Set(["hx-get", "hx-post", "hx-trigger"]);

/** What holds something of a person's, or listens to something outside itself, is better left to htmx. */
const DELICATE = "input:not([type=file]), textarea, select, details, [hx-trigger]";

export function isPatchable(old: Element, fresh: Element): boolean {
  return (
    old.localName === fresh.localName &&
    old.id === fresh.id &&
    !old.querySelector(DELICATE) &&
    !fresh.querySelector(DELICATE)
  );
}

/** Returns the elements in which something is to be wired anew. */
export function patch(old: Element, fresh: Element): Element[] {
  const wiring = patchAttributes(old, fresh) ? [old] : [];
  return [...wiring, ...patchChildren(old, fresh)];
}

/** Only what is in it, all of it new: a live region then reads it out again. */
export function refill(old: Element, fresh: Element): Element[] {
  old.replaceChildren(...fresh.childNodes);
  return [...old.children];
}

function patchAttributes(old: Element, fresh: Element): boolean {
  let wired = false;
  for (const { name, value } of fresh.attributes) {
    if (old.getAttribute(name) === value) continue;
    old.setAttribute(name, value);
    wired ||= WIRING.has(name);
  }
  for (const { name } of [...old.attributes]) {
    if (name === OWN || fresh.hasAttribute(name)) continue;
    old.removeAttribute(name);
    wired ||= WIRING.has(name);
  }
  return wired;
}

function patchChildren(old: Element, fresh: Element): Element[] {
  const wiring: Element[] = [];
  let at = old.firstChild;
  for (const child of [...fresh.childNodes]) {
    const match = findAlike(at, child);
    if (match) {
      removeUntil(at, match);
      wiring.push(...patchNode(match, child));
      at = match.nextSibling;
    } else {
      old.insertBefore(child, at);
      if (child instanceof Element) wiring.push(child);
    }
  }
  removeUntil(at, null);
  return wiring;
}

function patchNode(old: ChildNode, fresh: ChildNode): Element[] {
  if (old instanceof Element && fresh instanceof Element)
    return old.isEqualNode(fresh) ? [] : patch(old, fresh);
  if (old.nodeValue !== fresh.nodeValue) old.nodeValue = fresh.nodeValue;
  return [];
}

function findAlike(from: ChildNode | null, fresh: ChildNode): ChildNode | null {
  let node = from;
  while (node && !isAlike(node, fresh)) node = node.nextSibling;
  return node;
}

function isAlike(old: ChildNode, fresh: ChildNode): boolean {
  if (!(old instanceof Element && fresh instanceof Element)) return old.nodeType === fresh.nodeType;
  return old.localName === fresh.localName && old.id === fresh.id && kind(old) === kind(fresh);
}

/** The first of the classes; the others say how it is at the moment. */
function kind(element: Element): string | undefined {
  return element.classList[0];
}

function removeUntil(from: ChildNode | null, end: ChildNode | null): void {
  let node = from;
  while (node && node !== end) {
    const next = node.nextSibling;
    node.remove();
    node = next;
  }
}
