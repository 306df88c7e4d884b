// What browsers of about 2018 lack and the page uses: an old tablet shall do for
// the wall. The build writes their language, and style falls back by itself.

interface Old {
  replaceChildren?: (...nodes: (Node | string)[]) => void;
}

const element = Element.prototype as Old;
element.replaceChildren ??= function (this: Element, ...nodes: (Node | string)[]): void {
  this.textContent = "";
  this.append(...nodes);
};

const signal = AbortSignal as { timeout?: (ms: number) => AbortSignal };
signal.timeout ??= (ms) => {
  const controller = new AbortController();
  window.setTimeout(() => controller.abort(), ms);
  return controller.signal;
};
