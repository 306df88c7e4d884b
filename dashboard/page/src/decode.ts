// Reads JSON that came from outside into a known shape, or says where it does
// not fit. A strict reader also refuses names it does not know; the tests use
// that, so that a field which is added on one side is missed on the other.

export type Reader<T> = (value: unknown, at: string, strict: boolean) => T;
export type Shape<R> = R extends Reader<infer T> ? T : never;

function misfit(at: string, want: string, value: unknown): never {
  throw new Error(`${at || "the answer"} should be ${want}, but is ${JSON.stringify(value)}`);
}

export const text: Reader<string> = (v, at) => (typeof v === "string" ? v : misfit(at, "a text", v));
export const figure: Reader<number> = (v, at) => (typeof v === "number" ? v : misfit(at, "a figure", v));
export const flag: Reader<boolean> = (v, at) => (typeof v === "boolean" ? v : misfit(at, "true or false", v));

export function oneOf<const T extends string>(...words: readonly T[]): Reader<T> {
  return (v, at) => words.find((w) => w === v) ?? misfit(at, `one of ${words.join(", ")}`, v);
}

export function orNull<T>(inner: Reader<T>): Reader<T | null> {
  return (v, at, strict) => (v === null ? null : inner(v, at, strict));
}

export function list<T>(inner: Reader<T>): Reader<T[]> {
  return (v, at, strict) =>
    Array.isArray(v) ? v.map((x, i) => inner(x, `${at}[${i}]`, strict)) : misfit(at, "a list", v);
}

export function object<F extends Record<string, Reader<unknown>>>(fields: F): Reader<{ [K in keyof F]: Shape<F[K]> }> {
  return (v, at, strict) => {
    if (typeof v !== "object" || v === null || Array.isArray(v)) misfit(at, "an object", v);
    const from = v as Record<string, unknown>;
    if (strict) {
      for (const name of Object.keys(from)) {
        if (!(name in fields)) throw new Error(`${at}.${name} is not known to the page`);
      }
    }
    const out: Record<string, unknown> = {};
    for (const [name, read] of Object.entries(fields)) out[name] = read(from[name], `${at}.${name}`, strict);
    return out as { [K in keyof F]: Shape<F[K]> };
  };
}
