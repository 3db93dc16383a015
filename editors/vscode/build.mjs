// Turns the sources into what is packaged: one file of code, the schemas, the licence, and the page without its pictures.
import { build } from "esbuild";
import { cp, mkdir, readFile, rm, writeFile } from "node:fs/promises";

await rm("dist", { recursive: true, force: true });
await mkdir("dist");
await build({
  entryPoints: ["src/extension.ts"],
  outfile: "dist/extension.js",
  bundle: true,
  minify: true,
  // It is node that runs this, inside the editor.
  platform: "node",
  target: "node18",
  format: "cjs",
  external: ["vscode"],
});
await cp("../../schemas", "dist/schemas", { recursive: true });
await cp("../../LICENSE", "LICENSE.txt");
// The editor shows no picture of a package that was installed from a file.
const page = await readFile("README.md", "utf8");
await writeFile("dist/README.md", page.replace(/^!\[.*\n\n?/gm, ""));
