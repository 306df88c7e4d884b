// Builds the page into dist: one script, one style sheet, the document and its icon.
import { build } from "esbuild";
import { copyFileSync, readFileSync, readdirSync, rmSync } from "node:fs";

const here = (path) => new URL(path, import.meta.url).pathname;

for (const old of readdirSync(here("dist"))) {
  if (old !== ".keep") rmSync(here(`dist/${old}`), { recursive: true });
}
await build({
  entryPoints: { page: here("src/main.ts"), style: here("src/style.css") },
  outdir: here("dist"),
  bundle: true,
  minify: true,
  format: "esm",
  target: "es2018", // old_browsers.ts has what is not a matter of language
  charset: "utf8",
  legalComments: "none",
  // Whoever gives the page away gives uPlot away, whose licence asks for its text.
  banner: { js: `/* Draws its curves with uPlot.\n${readFileSync(here("node_modules/uplot/LICENSE"), "utf8")}*/` },
  logLevel: "warning",
});
for (const name of ["index.html", "icon.svg"]) copyFileSync(here(`src/${name}`), here(`dist/${name}`));
