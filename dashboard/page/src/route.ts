// Addresses of views: "#days/2026-02" is the view "days" with "2026-02" left for it.

export interface Place {
  readonly name: string;
  readonly rest: string;
}

export function whereTo(hash: string): Place {
  const [name = "", ...rest] = hash.replace(/^#\/?/, "").split("/");
  return { name, rest: readable(rest.join("/")) };
}

function readable(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return ""; // no text that anybody meant
  }
}

/** The address of a place; give it to location.hash, or to history.replaceState where back should not undo it. */
export const addressOf = ({ name, rest }: Place): string =>
  rest === "" ? `#${name}` : `#${name}/${rest.split("/").map(encodeURIComponent).join("/")}`;
