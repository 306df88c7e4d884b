// Bundles one of the page's modules so that node can import it.
import { build } from "esbuild";
import { fileURLToPath } from "node:url";

export async function load(name) {
  const { outputFiles } = await build({
    entryPoints: [fileURLToPath(new URL(`../src/${name}`, import.meta.url))],
    bundle: true, format: "esm", write: false, charset: "utf8",
  });
  return import("data:text/javascript;base64," + Buffer.from(outputFiles[0].text).toString("base64"));
}
