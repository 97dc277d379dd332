// Pictures of pages, for a person to look at: node look.mjs ADDRESS NAME [/path ...]; kept in out/.
import { mkdirSync } from "node:fs";
import { start } from "./browser.mjs";

const [address, ...paths] = process.argv.slice(2);
mkdirSync(new URL("out/", import.meta.url), { recursive: true });
const browser = await start();
for (const path of paths) {
  for (const [width, height] of [[360, 740], [1280, 800]]) {
    for (const theme of ["light", "dark"]) {
      const page = await browser.newPage({ viewport: { width, height }, colorScheme: theme });
      await page.goto(address + path);
      const name = path.replace(/[^a-z0-9]+/gi, "-") || "-";
      await page.screenshot({ path: new URL(`out/${name}-${width}-${theme}.png`, import.meta.url).pathname, fullPage: true });
      await page.close();
    }
  }
}
await browser.close();
