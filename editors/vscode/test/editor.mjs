// A real editor with our package in it, and a browser to look at it with. Knows nothing of what is tried.

import { execFileSync, spawn } from "node:child_process";
import { mkdir, mkdtemp, rm, writeFile } from "node:fs/promises";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { chromium } from "playwright-core";

const ENTRY = join(process.env.EDITOR_FOLDER, "node_modules/code-server/out/node/entry.js");
const PASSWORD = "a test of our own";
const SETTINGS = {
  "files.autoSave": "off",
  "telemetry.telemetryLevel": "off",
  "update.mode": "none",
  "extensions.autoUpdate": false,
  "extensions.autoCheckUpdates": false,
  "extensions.ignoreRecommendations": true,
  "workbench.startupEditor": "none",
  "workbench.tips.enabled": false,
  "workbench.enableExperiments": false,
  "security.workspace.trust.startupPrompt": "never",
  "security.workspace.trust.banner": "never",
  "chat.commandCenter.enabled": false,
  "window.commandCenter": false,
  "editor.minimap.enabled": false,
  // Words of the text are offered where nobody knows better, and would pass for what somebody knows.
  "editor.wordBasedSuggestions": "off",
  "editor.fontSize": 13,
  "git.enabled": false,
  "workbench.colorTheme": "Default Dark Modern",
};

/** Starts an editor with these packages; `trusting` takes every folder as trusted. */
export async function startEditor(packages, { trusting }) {
  const home = await mkdtemp(join(tmpdir(), "lampwright-editor-"));
  const user = join(home, "user");
  await mkdir(join(user, "User"), { recursive: true });
  await writeFile(join(user, "User", "settings.json"), JSON.stringify(SETTINGS));
  await writeFile(join(home, "config.yaml"), "cert: false\n");
  const port = await freePort();
  // The command must be found where we say, not where the person who runs this has it.
  const environment = {
    PATH: "/usr/bin:/bin", HOME: home, PASSWORD, LANG: "C.UTF-8",
    ...Object.fromEntries(["CONFIG", "DATA", "STATE", "CACHE"].map((name) => [`XDG_${name}_HOME`, join(home, name)])),
  };
  const words = [ENTRY, "--config", join(home, "config.yaml"), "--user-data-dir", user, "--extensions-dir", join(home, "packages")];
  for (const each of packages) {
    execFileSync(process.execPath, [...words, "--install-extension", each, "--force"], { env: environment, stdio: "pipe" });
  }
  const off = ["--auth", "password", "--disable-telemetry", "--disable-update-check", "--disable-proxy", "--disable-getting-started-override"];
  const child = spawn(
    process.execPath,
    [...words, ...off, ...(trusting ? ["--disable-workspace-trust"] : []), "--bind-addr", `127.0.0.1:${port}`],
    { env: environment, stdio: "pipe", detached: true },
  );
  await new Promise((settle, refuse) => {
    child.stdout.on("data", (text) => String(text).includes("HTTP server listening") && settle());
    child.once("exit", () => refuse(new Error("the editor ended at once")));
  });
  const browser = await chromium.launch({
    executablePath: process.env.CHROMIUM,
    args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
  });
  const context = await browser.newContext({ viewport: { width: 1200, height: 720 } });
  const asked = new Set();
  await context.route("**/*", (route) => {
    const address = new URL(route.request().url());
    if (address.hostname === "127.0.0.1" || ["data:", "blob:"].includes(address.protocol)) {
      return route.continue();
    }
    asked.add(address.host);
    return route.abort();
  });
  return {
    /** The hosts that were asked for something; nothing got there. */
    asked,
    async open(folder) {
      const page = await context.newPage();
      await page.goto(`http://127.0.0.1:${port}/?folder=${encodeURIComponent(folder)}`);
      if (await page.locator("input.password").count()) {
        await page.locator("input.password").fill(PASSWORD);
        await page.locator("input.submit").click();
      }
      await page.waitForSelector(".monaco-workbench .explorer-folders-view .monaco-list-row", { timeout: 60_000 });
      return new Window(page);
    },
    async close() {
      await browser.close();
      process.kill(-child.pid);
      await rm(home, { recursive: true, force: true, maxRetries: 5, retryDelay: 300 });
    },
  };
}

/** A window of the editor, and what a person does in it. */
class Window {
  constructor(page) {
    this.page = page;
  }

  /** Opens a file by its name, as a person does. */
  async openFile(name) {
    await this.choose("Control+p", name, name);
    await this.page.waitForSelector(`.tab.active[data-resource-name="${name}"]`, { timeout: 20_000 });
    await this.page.waitForSelector(".editor-group-container.active .view-line span");
  }

  command(title) {
    return this.choose("F1", `>${title}`, title);
  }

  /** Chooses what is called so from the list that a key opens. A list that is still being filled may lose a choice. */
  async choose(key, typed, name) {
    await this.page.keyboard.press(key);
    await this.page.locator(".quick-input-widget input[type=text]").fill(typed);
    const labels = ["", ",", " "].map((end) => `.quick-input-list .monaco-list-row[aria-label${end ? "^" : ""}="${name}${end}"]`);
    await this.page.locator(labels.join(", ")).first().click({ timeout: 10_000 });
    await this.page.locator(".quick-input-widget").waitFor({ state: "hidden" });
  }

  /** Goes to a line and column, from one. */
  async go(line, column) {
    await this.page.keyboard.press("Control+g");
    await this.page.locator(".quick-input-widget input").fill(`:${line}:${column}`);
    await this.page.waitForTimeout(150);
    await this.page.keyboard.press("Enter");
  }

  /** What the palette offers for a word. */
  async offeredCommands(word) {
    await this.page.keyboard.press("F1");
    await this.page.locator(".quick-input-widget input").fill(`>${word}`);
    await this.page.waitForSelector(".quick-input-list .monaco-list-row, .quick-input-list .monaco-list-rows:empty", { state: "attached" });
    await this.page.waitForTimeout(500);
    const rows = await this.page.locator(".quick-input-list .monaco-list-row").allInnerTexts();
    await this.page.keyboard.press("Escape");
    return rows.map((row) => row.split("\n")[0]);
  }

  /** The text that can be seen in the editor in front, or in the one with this in its name. */
  async text(resource = "") {
    const lines = await this.page.evaluate((wanted) => {
      const found = [...document.querySelectorAll(".editor-instance .monaco-editor[data-uri]")].find((each) => each.dataset.uri.includes(wanted));
      return [...(found?.querySelectorAll(".view-line") ?? [])]
        .sort((one, other) => parseFloat(one.style.top) - parseFloat(other.style.top))
        .map((each) => each.textContent);
    }, resource);
    return lines.join("\n").replaceAll("\u00a0", " ");
  }

  /** The words under the wavy lines of a level, as they are on the screen. */
  underlined(level) {
    return this.page.evaluate((name) => {
      const words = [];
      for (const wave of document.querySelectorAll(`.monaco-editor .squiggly-${name}`)) {
        const box = wave.getBoundingClientRect();
        let word = "";
        for (const line of document.querySelectorAll(".monaco-editor .view-line")) {
          const walker = document.createTreeWalker(line, NodeFilter.SHOW_TEXT);
          for (let node = walker.nextNode(); node; node = walker.nextNode()) {
            for (let index = 0; index < node.length; index += 1) {
              const range = document.createRange();
              range.setStart(node, index);
              range.setEnd(node, index + 1);
              const { left, width, top, height } = range.getBoundingClientRect();
              const [x, y] = [left + width / 2, top + height / 2];
              if (x > box.left && x < box.right && y > box.top - 1 && y < box.bottom + 1) {
                word += node.data[index];
              }
            }
          }
        }
        words.push(word.replaceAll("\u00a0", " "));
      }
      return words;
    }, level);
  }

  /** Waits until something holds; says what it was at last if it never does. */
  async until(what, holds, patience = 20_000) {
    const end = Date.now() + patience;
    let last = await what();
    while (!holds(last)) {
      if (Date.now() > end) {
        throw new Error(`gave up at ${JSON.stringify(last)?.slice(0, 1500)}`);
      }
      await this.page.waitForTimeout(100);
      last = await what();
    }
    return last;
  }

  picture(name, clip) {
    return this.page.screenshot({ path: fileURLToPath(new URL(`pictures/${name}.png`, import.meta.url)), clip });
  }
}

function freePort() {
  return new Promise((settle) => {
    const server = createServer().listen(0, "127.0.0.1", () => {
      const { port } = server.address();
      server.close(() => settle(port));
    });
  });
}
