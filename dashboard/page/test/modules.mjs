// Bundles one of the page's modules so that node can import it, in a language.
import { build } from "esbuild";
import { fileURLToPath } from "node:url";

export async function load(name, language = "en") {
  const { outputFiles } = await build({
    entryPoints: [fileURLToPath(new URL(`../src/${name}`, import.meta.url))],
    bundle: true, format: "esm", write: false, charset: "utf8",
    footer: { js: `// in ${language}` }, // so that each language is a module of its own
  });
  // Newer versions of node have a navigator, which speaks as the machine does.
  Object.defineProperty(globalThis, "navigator", { value: { languages: [language] }, configurable: true });
  return import("data:text/javascript;base64," + Buffer.from(outputFiles[0].text).toString("base64"));
}
