// The language of the page: what was chosen in this browser, else what the
// browser prefers, else English.

export const languages = { en: "English", es: "Español" } as const;
export type Language = keyof typeof languages;

const keptAs = "language";

export const isLanguage = (word: string): word is Language => word in languages;

function kept(): string {
  try {
    return localStorage.getItem(keptAs) ?? "";
  } catch {
    return ""; // a browser that keeps nothing for pages
  }
}

function preferred(): Language {
  const wishes = [kept(), ...(globalThis.navigator?.languages ?? [])];
  return wishes.map((wish) => wish.slice(0, 2).toLowerCase()).find(isLanguage) ?? "en";
}

/** The language that all texts and figures are in, until the page is loaded anew. */
export const language: Language = preferred();

/** Keeps a choice for this browser and loads the page anew in it. */
export function choose(choice: Language): void {
  try {
    localStorage.setItem(keptAs, choice);
  } catch {
    return; // nothing is kept, so nothing would change
  }
  location.reload();
}
