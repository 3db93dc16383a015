// Does in a real editor what a person would, compares it with what the command says, and writes RESULTS.md.

import { execFileSync, spawnSync } from "node:child_process";
import { cpSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { startEditor } from "./editor.mjs";

const HERE = dirname(fileURLToPath(import.meta.url));
const ROOT = join(HERE, "..", "..", "..");
const PACKAGE = join(HERE, "..", "lampwright.vsix");
const PYTHON = process.env.PYTHON;
const ONLY = process.argv[2] ?? "";
const work = mkdtempSync(join(tmpdir(), "lampwright-club-"));
const results = [];
mkdirSync(join(HERE, "pictures"), { recursive: true });

/** The example club in a folder of its own, with the command in a virtual environment if it is to have one. */
function club(name, { command = true } = {}) {
  const folder = join(work, name);
  cpSync(join(ROOT, "examples"), folder, { recursive: true });
  if (command) {
    // As it is installed, but of this clone, and with a note of each start.
    const scripts = join(folder, ".venv", "bin");
    mkdirSync(scripts, { recursive: true });
    const text = `#!/bin/sh\necho "$@" >> "${join(work, `${name}.started`)}"\nexport PYTHONPATH="${ROOT}/linter:${ROOT}/lsp"\nexec "${PYTHON}" -m lampwright "$@"\n`;
    writeFileSync(join(scripts, "lampwright"), text, { mode: 0o755 });
  }
  return folder;
}

/** What was started in the club of that name. */
function started(name) {
  const file = join(work, `${name}.started`);
  return existsSync(file) ? readFileSync(file, "utf8").trim().split("\n") : [];
}

/** What the command itself says. */
function command(words, folder) {
  const environment = { ...process.env, PYTHONPATH: `${ROOT}/linter:${ROOT}/lsp`, COLUMNS: "78", NO_COLOR: "1" };
  return spawnSync(PYTHON, ["-m", "lampwright", ...words], { cwd: folder, env: environment, encoding: "utf8" });
}

/** A mistake of the example club after the command has mended it. */
function fixed(name, ...words) {
  const folder = club(`twin of ${name}`, { command: false });
  command(["fix", ...words, join("mistakes", name)], folder);
  return readFileSync(join(folder, "mistakes", name), "utf8");
}

function check(isTrue, what) {
  if (!isTrue) {
    throw new Error(typeof what === "string" ? what : JSON.stringify(what));
  }
}

async function trying(what, window, action) {
  /** What `npm audit` says of what the package is made of, in a line. */
function audited() {
  const run = spawnSync("npm", ["audit", "--json"], { cwd: join(HERE, ".."), encoding: "utf8" });
  try {
    const { metadata, error, message } = JSON.parse(run.stdout);
    return metadata === undefined
      ? `\`npm audit\` could not be run: ${error?.summary || message || "the registry does not answer"}.`
      : `\`npm audit\`: ${metadata.vulnerabilities.total} known vulnerabilities.`;
  } catch {
    return "`npm audit` could not be run.";
  }
}

const begun = Date.now();
  try {
    const seen = (await action()) ?? "";
    results.push({ what, seen, passed: true });
  } catch (error) {
    results.push({ what, seen: String(error.message).split("\n")[0], passed: false });
    await window.picture(`failed-${results.length}`);
    await window.page.keyboard.press("Escape");
  }
  const { passed, seen } = results.at(-1);
  console.log(`${passed ? "ok  " : "FAIL"} ${((Date.now() - begun) / 1000).toFixed(1).padStart(5)} s  ${what}: ${seen}`);
}

const SCENES = { untrusted, unrelated, missing, day, beside };

async function untrusted() {
  const folder = club("strange");
  const editor = await startEditor([PACKAGE], { trusting: false });
  const window = await editor.open(folder);
  await window.openFile("unprotected-led.lights.yaml");
  await trying("a folder that is not trusted starts nothing", window, async () => {
    await window.until(() => window.page.locator("#status\\.languageStatus").getAttribute("aria-label"), (label) => label?.includes("Lampwright is off"));
    await window.page.waitForTimeout(3000);
    check(started("strange").length === 0, started("strange"));
    check((await window.underlined("error")).length === 0, "something is underlined");
    const offered = await window.offeredCommands("Lampwright");
    check(!offered.some((each) => each.includes("Check the Club")), offered);
    return "no process, no finding, no command; the status item says why";
  });
  await trying("in it, snippets are offered", window, async () => {
    await window.go(8, 200);
    await window.page.keyboard.press("Enter");
    await window.page.keyboard.type("  out");
    await window.page.keyboard.press("Control+Space");
    const rows = await window.until(() => window.page.locator(".suggest-widget .monaco-list-row").allInnerTexts(), (all) => all.some((row) => row.includes("a resistor and a lamp")));
    await window.page.keyboard.press("Escape");
    return rows[0].replaceAll("\n", " ");
  });
  await trying("once it is trusted, it is checked", window, async () => {
    await window.command("Workspaces: Manage Workspace Trust");
    await window.page.locator(".workspace-trust-editor .monaco-button:has-text('Trust')").first().click();
    await window.until(() => started("strange"), (all) => all.includes("server"));
    return "the server was started";
  });
  await editor.close();
}

async function unrelated() {
  const folder = join(work, "elsewhere");
  mkdirSync(folder);
  cpSync(join(club("lender"), ".venv"), join(folder, ".venv"), { recursive: true });
  writeFileSync(join(folder, "roster.yaml"), "lighting-plan: 1\nvehicle: 12\noutputs: {white: {circuit: [front headlamp]}}\n");
  const editor = await startEditor([PACKAGE], { trusting: true });
  const window = await editor.open(folder);
  await window.openFile("roster.yaml");
  await trying("an unrelated YAML file starts nothing and shows nothing", window, async () => {
    await window.page.waitForTimeout(4000);
    check(started("lender").length === 0, started("lender"));
    check((await window.underlined("error")).length + (await window.underlined("warning")).length === 0, "something is underlined");
    check((await window.page.locator("[id='status.languageStatus'][aria-label*=Lampwright]").count()) === 0, "a status item");
    const offered = await window.offeredCommands("Lampwright");
    check(!offered.some((each) => each.startsWith("Lampwright")), offered);
    check((await window.page.locator(".editor-actions [aria-label*='Figures']").count()) === 0, "a button");
    await window.go(3, 200);
    await window.page.keyboard.press("Enter");
    await window.page.keyboard.type("le");
    await window.page.keyboard.press("Control+Space");
    await window.page.waitForTimeout(1500);
    const rows = await window.page.locator(".suggest-widget .monaco-list-row").allInnerTexts();
    check(!rows.some((row) => row.includes("LED")), rows);
    await window.page.keyboard.press("Escape");
    await window.page.keyboard.press("Escape");
    await window.page.keyboard.press("Control+s");
    return "no process, no finding, no command, no snippet, no status item";
  });
  await trying("the first file of ours starts the server", window, async () => {
    cpSync(join(ROOT, "examples", "mistakes", "overdriven-led.lights.yaml"), join(folder, "tank.lights.yaml"));
    await window.page.locator(".explorer-folders-view .monaco-list-row[aria-label*='tank.lights.yaml']").dblclick({ timeout: 20_000 });
    await window.until(() => started("lender"), (all) => all.includes("server"));
    return "the server was started";
  });
  await editor.close();
}

async function missing() {
  const folder = club("bare", { command: false });
  const editor = await startEditor([PACKAGE], { trusting: true });
  const window = await editor.open(folder);
  await window.openFile("unprotected-led.lights.yaml");
  await trying("without the command, a message says what to do", window, async () => {
    const message = await window.until(() => window.page.locator(".notification-list-item").allInnerTexts(), (all) => all.some((text) => text.includes("was not found")));
    for (const button of ["How to Install It", "Say Where It Is", "Look Again"]) {
      check(message[0].includes(button), message);
    }
    await window.picture("missing");
    return /Lampwright was not found.*/.exec(message.join("\n"))[0];
  });
  await trying("its button opens the walkthrough", window, async () => {
    await window.page.locator(".notification-list-item .monaco-button:has-text('How to Install It')").click();
    await window.page.waitForSelector("text=A lighting plan that works the first time", { timeout: 20_000 });
    await window.page.waitForTimeout(1500);
    await window.picture("walkthrough");
    return "the walkthrough";
  });
  await trying("installed meanwhile, it is found", window, async () => {
    cpSync(join(club("late"), ".venv"), join(folder, ".venv"), { recursive: true });
    await window.openFile("unprotected-led.lights.yaml");
    await window.command("Lampwright: Restart the Server");
    return `underlined: ${(await window.until(() => window.underlined("error"), (all) => all.length > 0))[0]}`;
  });
  await editor.close();
}

async function day() {
  const folder = club("quarry");
  const editor = await startEditor([PACKAGE], { trusting: true });
  const window = await editor.open(folder);
  const { page } = window;
  const plan = join(folder, "mistakes", "unprotected-led.lights.yaml");
  // More room for what the pictures are about.
  await page.setViewportSize({ width: 1360, height: 640 });
  await page.keyboard.press("Control+b");
  await window.openFile("unprotected-led.lights.yaml");
  await trying("the mistake is underlined at its word", window, async () => {
    const words = await window.until(() => window.underlined("error"), (all) => all.length > 0, 30_000);
    check(words.length === 1 && words[0] === "front headlamp", words);
    return `"${words[0]}"`;
  });
  await trying("the bulb offers the fix, and what is saved is what lampwright fix --unsure writes", window, async () => {
    await window.go(9, 24);
    await page.keyboard.press("Control+.");
    await page.waitForSelector(".action-widget .monaco-list-row");
    await page.waitForTimeout(500);
    await window.picture("mend", { x: 0, y: 30, width: 1040, height: 360 });
    const first = await page.locator(".action-widget .monaco-list-row.action").first().innerText();
    check(first.startsWith("Put in 1.5 kohm 1/4 W"), first);
    await page.keyboard.press("Enter");
    await window.until(() => window.text("unprotected-led"), (text) => text.includes("1.5 kohm"));
    await page.keyboard.press("Control+s");
    await window.until(() => readFileSync(plan, "utf8"), (text) => text.includes("1.5 kohm"));
    check(readFileSync(plan, "utf8") === fixed("unprotected-led.lights.yaml", "--unsure"), readFileSync(plan, "utf8"));
    await window.until(() => window.underlined("error"), (all) => all.length === 0);
    return `"${first}"; the files are equal to the byte`;
  });
  await trying("so does a fix that leaves no doubt", window, async () => {
    await window.openFile("decimal-comma.lights.yaml");
    const words = await window.until(() => window.underlined("error"), (all) => all.length > 0);
    await window.go(9, 17);
    await page.keyboard.press("Control+.");
    const first = await page.locator(".action-widget .monaco-list-row.action").first().innerText();
    await page.keyboard.press("Enter");
    const file = join(folder, "mistakes", "decimal-comma.lights.yaml");
    await window.until(() => window.text("decimal-comma"), (text) => text.includes("1.5 V"));
    await page.keyboard.press("Control+s");
    await window.until(() => readFileSync(file, "utf8"), (text) => text === fixed("decimal-comma.lights.yaml"));
    await window.command("View: Close Editor");
    return `"${words[0]}": "${first}"; the files are equal to the byte`;
  });
  await trying("currents and heat stand beside what is written", window, async () => {
    await window.openFile("unprotected-led.lights.yaml");
    const text = await window.until(() => window.text("unprotected-led"), (all) => / mA/.test(all) && / mW/.test(all));
    return text.split("\n").find((line) => line.includes("circuit")).trim();
  });
  await trying("the pointer is told the current", window, async () => {
    await window.go(9, 44);
    await page.keyboard.press("Control+k");
    await page.keyboard.press("Control+i");
    const said = await window.until(() => page.locator(".monaco-hover .hover-contents").allInnerTexts(), (all) => all.some((text) => / mA/.test(text)));
    await window.picture("hover");
    await page.keyboard.press("Escape");
    return said.find((text) => / mA/.test(text)).replace(/\s+/g, " ").slice(0, 160);
  });
  await trying("a resistor is completed with the current that would flow", window, async () => {
    await window.openFile("overdriven-led.lights.yaml");
    await window.go(9, 200);
    await page.keyboard.press("Enter");
    await page.keyboard.type("yellow: {circuit: [");
    await page.keyboard.press("Control+Space");
    await page.waitForSelector(".suggest-widget .monaco-list-row");
    await page.keyboard.type("front headlamp, ");
    await page.keyboard.press("Control+Space");
    const rows = await window.until(() => page.locator(".suggest-widget .monaco-list-row").allInnerTexts(), (all) => all.some((row) => /kohm/.test(row)));
    await window.picture("completion");
    await page.keyboard.press("Escape");
    await page.keyboard.press("Escape");
    await window.command("File: Revert File");
    return rows[0].replaceAll("\n", " ");
  });
  await trying("the figures stand beside the plan", window, async () => {
    await window.command("View: Close All Editors");
    await window.openFile("ore-hauler-12.lights.yaml");
    await window.until(() => window.text("ore-hauler-12.lights.yaml"), (all) => / mA/.test(all), 30_000);
    await window.command("Lampwright: Show the Figures of This Plan");
    const shown = await window.until(() => window.text("lampwright-page"), (text) => text.includes("output white"));
    const printed = command(["figures", join(folder, "vehicles/ore-hauler-12.lights.yaml")], folder).stdout;
    check(printed.startsWith(shown.split("\n").slice(0, 12).join("\n").trimEnd()), shown.split("\n").slice(0, 12));
    await page.waitForTimeout(1000);
    await window.picture("figures", { x: 0, y: 0, width: 1360, height: 560 });
    return `${shown.split("\n").length} lines in sight, as printed by the command`;
  });
  await trying("nobody can write in them", window, async () => {
    const before = await window.text("lampwright-page");
    await page.locator(".monaco-editor[data-uri^='lampwright-page'] .view-line").first().click();
    await page.keyboard.type("x");
    check((await window.text("lampwright-page")) === before, "it was written into");
    await page.keyboard.press("Escape");
    return "read-only";
  });
  for (const [title, page_, word] of [["Show the Programming List", "cvs", "CVs in writing order"], ["Show Which Lamp Burns When", "states", "what burns when"]]) {
    await trying(`${title.toLowerCase()}`, window, async () => {
      await window.openFile("saddle-tank-5.lights.yaml");
      await window.command(`Lampwright: ${title}`);
      const shown = await window.until(() => window.text("lampwright-page"), (text) => text.includes(word));
      await page.waitForTimeout(300);
      await window.picture(page_);
      await window.command("View: Close All Editors");
      return shown.split("\n")[0].trim();
    });
  }
  await trying("pages follow a save", window, async () => {
    await window.command("View: Close All Editors");
    await window.openFile("saddle-tank-5.lights.yaml");
    await window.command("Lampwright: Show the Figures of This Plan");
    await window.until(() => window.text("lampwright-page"), (text) => text.includes("14.5"));
    const lines = readFileSync(join(folder, "vehicles/saddle-tank-5.lights.yaml"), "utf8").split("\n");
    const line = lines.findIndex((each) => each.startsWith("lamps:"));
    await window.go(line + 1, 1);
    await page.keyboard.type("supply: {track: 13.5 V}\n", { delay: 10 });
    await page.keyboard.press("Escape");
    await page.keyboard.press("Control+s");
    const text = await window.until(() => window.text("lampwright-page"), (all) => all.includes("13.5"));
    return text.split("\n").slice(0, 2).join(" ").trim();
  });
  await trying("the bench sheet, or why there is none", window, async () => {
    await window.command("Lampwright: Open the Bench Sheet Beside the Plan");
    if (command(["bench", "--help"], folder).status !== 0) {
      const said = await window.until(() => page.locator(".notification-list-item").allInnerTexts(), (all) => all.some((text) => text.includes("makes no bench sheets")));
      return /The Lampwright that.*/.exec(said.join("\n"))[0];
    }
    const frame = page.frameLocator("iframe.webview.ready").frameLocator("iframe");
    const text = await window.until(() => frame.locator("body").innerText().catch(() => ""), (all) => all.includes("Saddle tank 5"));
    await page.waitForTimeout(500);
    await window.picture("bench");
    return text.split("\n").filter(Boolean).slice(0, 2).join("; ");
  });
  await trying("the club is checked", window, async () => {
    await window.command("Lampwright: Check the Club");
    const said = await window.until(() => page.locator(".notification-list-item").allInnerTexts(), (all) => all.some((text) => text.includes("Lampwright found")), 60_000);
    const printed = command(["check", "--format", "line"], folder).stdout;
    const errors = printed.split("\n").filter((line) => / error: /.test(line)).length;
    const text = /Lampwright found .*/.exec(said.join("\n"))[0];
    check(text.includes(`found ${errors} error`), `${text}, but the command prints ${errors} errors`);
    const rows = await window.until(() => page.locator(".markers-panel .monaco-list-row").count(), (number) => number > 3);
    await page.waitForTimeout(500);
    await window.picture("club");
    return `${text}; ${rows} rows of the Problems panel in sight`;
  });
  await trying("the server is restarted", window, async () => {
    const before = started("quarry").filter((each) => each === "server").length;
    await window.command("Lampwright: Restart the Server");
    await window.until(() => started("quarry").filter((each) => each === "server").length, (number) => number === before + 1);
    await window.openFile("unlit-string.lights.yaml");
    const words = await window.until(() => window.underlined("error"), (all) => all.length > 0, 30_000);
    return `"${words[0]}" is underlined by the new one`;
  });
  await trying("what stands above a plan can be clicked", window, async () => {
    await window.command("View: Close All Editors");
    await window.openFile("ore-hauler-12.lights.yaml");
    await page.locator(".codelens-decoration a:has-text('CVs')").click({ timeout: 20_000 });
    const shown = await window.until(() => window.text("lampwright-page"), (text) => text.includes("CVs in writing order"));
    return shown.split("\n")[0].trim();
  });
  results.push({ what: "the window in the browser asks no other host", seen: [...editor.asked].join(", ") || "none", passed: editor.asked.size === 0 });
  await editor.close();
}

async function beside() {
  const standIn = join(work, "stand-in.vsix");
  execFileSync("npx", ["vsce", "package", "--no-dependencies", "--allow-missing-repository", "--skip-license", "--out", standIn], { cwd: join(HERE, "stand-in"), stdio: "pipe" });
  const editor = await startEditor([PACKAGE, standIn], { trusting: true });
  const offered = async (window) => {
    await window.page.keyboard.press("Control+End");
    await window.page.keyboard.press("Control+Space");
    await window.page.waitForTimeout(1500);
    const rows = await window.page.locator(".suggest-widget .monaco-list-row").allInnerTexts();
    await window.page.keyboard.press("Escape");
    return rows.map((row) => row.replaceAll("\n", " "));
  };
  const window = await editor.open(club("both"));
  await window.openFile("overdriven-led.lights.yaml");
  await window.page.locator(".editor-group-container.active .view-line").first().click();
  await trying("beside an extension for YAML, what our server offers comes once", window, async () => {
    await window.until(() => window.underlined("error"), (all) => all.length > 0, 30_000);
    const rows = await window.until(() => offered(window), (all) => all.length > 0);
    // A key alone and the same with what belongs in it are two.
    check(rows.filter((row) => row === "supply").length === 1 && new Set(rows).size === rows.length, rows);
    check(!rows.some((row) => row.includes("by the schema")), rows);
    return rows.slice(0, 3).join("; ");
  });
  const other = await editor.open(club("alone", { command: false }));
  await other.openFile("overdriven-led.lights.yaml");
  await other.page.locator(".editor-group-container.active .view-line").first().click();
  await trying("without our server, that extension has our schema", other, async () => {
    const rows = await other.until(() => offered(other), (all) => all.some((row) => row.includes("by the schema")));
    check(rows.filter((row) => row.startsWith("supply")).length === 1, rows);
    return rows.slice(0, 3).join("; ");
  });
  await editor.close();
}

/** What `npm audit` says of what the package is made of, in a line. */
function audited() {
  const run = spawnSync("npm", ["audit", "--json"], { cwd: join(HERE, ".."), encoding: "utf8" });
  try {
    const { metadata, error, message } = JSON.parse(run.stdout);
    return metadata === undefined
      ? `\`npm audit\` could not be run: ${error?.summary || message || "the registry does not answer"}.`
      : `\`npm audit\`: ${metadata.vulnerabilities.total} known vulnerabilities.`;
  } catch {
    return "`npm audit` could not be run.";
  }
}

const begun = Date.now();
for (const [name, scene] of Object.entries(SCENES)) {
  if (!ONLY || ONLY.split(",").includes(name)) {
    await scene();
  }
}
rmSync(work, { recursive: true, force: true, maxRetries: 5, retryDelay: 300 });
const failed = results.filter((each) => !each.passed).length;
if (!ONLY) {
  const version = (file) => JSON.parse(readFileSync(file, "utf8"));
  const code = version(join(process.env.EDITOR_FOLDER, "node_modules/code-server/package.json"));
  const page = [
    "# What was tried in a real editor", "",
    `Written by \`npm run test:editor\` on ${new Date().toISOString().slice(0, 10)}: code-server ${code.version} (Visual Studio Code ${version(join(process.env.EDITOR_FOLDER, "node_modules/code-server/lib/vscode/package.json")).version}), Node.js ${process.versions.node},`,
    `${execFileSync(process.env.CHROMIUM, ["--version"], { encoding: "utf8", stdio: ["ignore", "pipe", "ignore"] }).replace(/ built.*/s, "").trim()}, Python ${execFileSync(PYTHON, ["--version"], { encoding: "utf8" }).trim().split(" ")[1]}. ${results.length - failed} of ${results.length} passed, in ${Math.round((Date.now() - begun) / 1000)} s; the package has ${Math.round(readFileSync(PACKAGE).length / 1000)} kB.`, "",
    "| what | | seen |", "|---|---|---|",
    ...results.map(({ what, seen, passed }) => `| ${what} | ${passed ? "yes" : "**no**"} | ${String(seen).replaceAll("|", "\\|").replaceAll(work, "")} |`), "",
    audited(), "",
  ];
  writeFileSync(join(HERE, "..", "RESULTS.md"), page.join("\n"));
}
process.exit(failed ? 1 : 0);
