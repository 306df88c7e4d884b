// Builds and changes the document. Texts go in as texts, never as markup, and
// only when they changed, so that a screen reader is not told the same again.

type Attributes = Record<string, string>;
type Child = Node | string;

export function h<K extends keyof HTMLElementTagNameMap>(
  tag: K, attributes: Attributes = {}, ...children: Child[]
): HTMLElementTagNameMap[K] {
  const el = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) el.setAttribute(name, value);
  el.append(...children);
  return el;
}

export function s<K extends keyof SVGElementTagNameMap>(
  tag: K, attributes: Attributes = {}, ...children: Child[]
): SVGElementTagNameMap[K] {
  const el = document.createElementNS("http://www.w3.org/2000/svg", tag);
  for (const [name, value] of Object.entries(attributes)) el.setAttribute(name, value);
  el.append(...children);
  return el;
}

/** For elements with words of the program itself, which are English in whatever language the page is. */
export const english = { lang: "en" };

/** Marks whether an element's words are the program's own. */
export function quotes(el: Element, ofProgram: boolean): void {
  if (ofProgram) mark(el, "lang", english.lang);
  else el.removeAttribute("lang");
}

/** Sets an element's text; an empty one hides it. */
export function say(el: HTMLElement | SVGElement, text: string): void {
  if (el.textContent !== text) el.textContent = text;
  if (el instanceof HTMLElement && el.hidden !== (text === "")) el.hidden = text === "";
}

/** Sets an attribute when it changes. */
export function mark(el: Element, name: string, value: string): void {
  if (el.getAttribute(name) !== value) el.setAttribute(name, value);
}

/** A part of the page: built once, then told what is new. */
export interface Part<T> {
  readonly root: HTMLElement | SVGElement;
  tell(what: T): void;
}

/**
 * Keeps one part for each item under a parent. A part stays as long as its key
 * does, so that focus and opened details survive when others come and go.
 */
export class Parts<T> {
  private parts = new Map<string, Part<T>>();

  constructor(
    private readonly parent: HTMLElement,
    private readonly key: (item: T) => string,
    private readonly make: (item: T) => Part<T>,
  ) {}

  tell(items: readonly T[]): void {
    const before = [...this.parts.keys()].join("\n");
    const next = new Map<string, Part<T>>();
    for (const item of items) {
      const key = this.key(item);
      const part = this.parts.get(key) ?? this.make(item);
      part.tell(item);
      next.set(key, part);
    }
    this.parts = next;
    if ([...next.keys()].join("\n") !== before) {
      this.parent.replaceChildren(...[...next.values()].map((p) => p.root));
    }
  }
}
