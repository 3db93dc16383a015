// The bench sheet of a plan, as the command writes it, in a tab beside the plan that can neither run nor load anything.

import { randomUUID } from "node:crypto";
import { mkdtemp, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { env, Uri, ViewColumn, window, workspace, type Disposable, type WebviewPanel } from "vscode";
import { folderOf, run } from "./command";
import { isOurs } from "./files";

const TYPE = "lampwright.bench";

interface Sheet {
  readonly plan: Uri;
  readonly panel: WebviewPanel;
  file: string;
}

export class BenchSheets implements Disposable {
  private readonly open = new Map<string, Sheet>();
  private readonly listening = workspace.onDidSaveTextDocument((saved) => isOurs(saved.uri.path) && void this.refresh());
  private folder: Promise<string> | undefined;

  /** Shows the sheet of a plan beside it, or says why there is none. */
  async show(plan: Uri): Promise<void> {
    const written = await this.write(plan);
    if (typeof written !== "string") {
      void window.showErrorMessage(written.why);
      return;
    }
    const key = plan.toString();
    const sheet = this.open.get(key) ?? this.make(plan, key);
    await fill(sheet, written);
    sheet.panel.reveal(undefined, true);
  }

  /** Opens the sheet that is in front in the browser, which can print it. */
  async showInBrowser(): Promise<void> {
    const sheet = [...this.open.values()].find((each) => each.panel.active);
    if (sheet !== undefined) {
      await env.openExternal(Uri.file(sheet.file));
    }
  }

  dispose(): void {
    this.listening.dispose();
    [...this.open.values()].forEach((each) => each.panel.dispose());
    void this.folder?.then((folder) => rm(folder, { recursive: true, force: true }));
  }

  private make(plan: Uri, key: string): Sheet {
    const place = { viewColumn: ViewColumn.Beside, preserveFocus: true };
    const panel = window.createWebviewPanel(TYPE, `${nameOf(plan)} · bench sheet`, place, {
      enableScripts: false, localResourceRoots: [], enableFindWidget: true,
    });
    const sheet = { plan, panel, file: "" };
    this.open.set(key, sheet);
    panel.onDidDispose(() => this.open.delete(key));
    return sheet;
  }

  /** The file with the sheet. */
  private async write(plan: Uri): Promise<string | { why: string }> {
    this.folder ??= mkdtemp(join(tmpdir(), "lampwright-"));
    const file = join(await this.folder, `${nameOf(plan)} ${randomUUID().slice(0, 8)}.html`);
    const answer = await run(["bench", plan.fsPath, "--output", file], folderOf(plan));
    if (/invalid choice: '?bench/.test(answer.complaint)) {
      return { why: "The Lampwright that is installed makes no bench sheets: it is older than this extension. Install a newer one." };
    }
    const why = answer.complaint.trim().split("\n").at(-1) || "the command did not say why";
    return answer.status === 2 ? { why: `There is no bench sheet of "${nameOf(plan)}": ${why}` } : file;
  }

  private async refresh(): Promise<void> {
    for (const sheet of this.open.values()) {
      const written = await this.write(sheet.plan);
      // A plan that cannot be read for the moment leaves the sheet as it was.
      if (typeof written === "string") {
        await fill(sheet, written);
      }
    }
  }
}

// A sheet is made for paper: what it does not colour itself is black on white, in dark editors too.
const HEAD =
  `<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:">` +
  `<style>html{background:#fff;color:#000}body{background:#fff;color:#000}</style>`;

async function fill(sheet: Sheet, file: string): Promise<void> {
  const text = await readFile(file, "utf8");
  sheet.panel.webview.html = /<head[^>]*>/i.test(text) ? text.replace(/<head[^>]*>/i, (head) => head + HEAD) : HEAD + text;
  const old = sheet.file;
  sheet.file = file;
  if (old) {
    await rm(old, { force: true });
  }
}

function nameOf(plan: Uri): string {
  return plan.path.replace(/.*\//, "").replace(/\.lights\.yaml$/, "");
}
