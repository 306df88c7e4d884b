// Takes the picture of the page that README.md shows: "node test/picture.mjs FILE".
// The demo, some time after the sun has begun to heat.
import { browse } from "./browser.mjs";
import { startDemo } from "./server.mjs";

const file = process.argv[2];
if (!file) throw new Error("name the file that the picture goes to");
const demo = await startDemo();
for (let runSeconds = 0; runSeconds < 5400;) {
  await new Promise((resolve) => setTimeout(resolve, 500));
  const { now } = await (await fetch(`${demo.url}api/now`)).json();
  runSeconds = now.systems[0].outputs.find((o) => o.actuator === "loop_pump").run_seconds;
}
const browser = await browse();
const page = await browser.newPage({ viewport: { width: 900, height: 610 }, colorScheme: "light", locale: "en-GB", reducedMotion: "reduce" });
await page.goto(demo.url);
await page.getByRole("heading").first().waitFor();
await page.getByText("°C").first().waitFor(); // the first tick has come
await page.screenshot({ path: file });
await browser.close();
await demo.stop();
