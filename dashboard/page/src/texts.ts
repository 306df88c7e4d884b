// Every text of the page that does not come from the program itself. A text
// goes to texts/english.ts, and to the file of every other language beside it,
// or the page does not build.

import { english } from "./texts/english.ts";
import { spanish } from "./texts/spanish.ts";
import { language } from "./texts/language.ts";

export * from "./texts/format.ts";

/** The same texts in any language: words stay words, functions take the same and give words. */
type InAnyLanguage<T> = T extends string
  ? string
  : T extends (...from: infer From) => string
    ? (...from: From) => string
    : { readonly [K in keyof T]: InAnyLanguage<T[K]> };

export type Texts = InAnyLanguage<typeof english>;

const inLanguage: Record<typeof language, Texts> = { en: english, es: spanish };

/** The name of a place or an actuator; what is newer than this page keeps the program's own word. */
export const nameOf = (names: { readonly [key: string]: string }, key: string, words: string): string => names[key] ?? words;

export const texts: Texts = inLanguage[language];
