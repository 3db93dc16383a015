// What the editor starts. Registers little, and begins nothing before there is one of our files.

import { commands, Uri, window, workspace, type ExtensionContext, type OutputChannel, type TextDocument } from "vscode";
import { BenchSheets } from "./bench";
import { checkClub } from "./club";
import { isOurs, isPlan, PATTERNS, PLANS } from "./files";
import { Pages, type Page } from "./pages";
import { lendSchemas } from "./schemas";
import { offerSnippets } from "./snippets";
import type { Server } from "./server";
import { Status } from "./status";

let running: Lampwright | undefined;

export async function activate(context: ExtensionContext): Promise<void> {
  const begun = () => {
    if (running === undefined) {
      running = new Lampwright(context);
      void running.begin();
    }
    return running;
  };
  const beginIfOurs = (document: TextDocument) => {
    if (document.uri.scheme === "file" && isOurs(document.uri.path)) {
      begun();
    }
  };
  // A walkthrough may call them before there is any file of ours.
  for (const [name, action] of Object.entries(ACTIONS)) {
    context.subscriptions.push(commands.registerCommand(`lampwright.${name}`, (given: unknown) => action(begun(), given)));
  }
  context.subscriptions.push(workspace.onDidOpenTextDocument(beginIfOurs));
  workspace.textDocuments.forEach(beginIfOurs);
  if (running === undefined && (await workspace.findFiles(`{${PATTERNS.join(",")}}`, "**/node_modules/**", 1)).length > 0) {
    begun();
  }
}

export async function deactivate(): Promise<void> {
  await running?.stop();
  running = undefined;
}

/** All that there is once one of our files matters. */
class Lampwright {
  readonly channel: OutputChannel = window.createOutputChannel("Lampwright");
  private readonly status = new Status();
  readonly pages = new Pages();
  readonly sheets = new BenchSheets();
  private server: Server | undefined;

  constructor(private readonly context: ExtensionContext) {
    context.subscriptions.push(this.channel, this.status, this.pages, this.sheets, offerSnippets());
    context.subscriptions.push(
      workspace.onDidGrantWorkspaceTrust(() => void this.restart()),
      workspace.onDidChangeConfiguration((change) => {
        if (change.affectsConfiguration("lampwright.server.path")) {
          void this.restart();
        }
      }),
    );
  }

  async begin(): Promise<void> {
    await commands.executeCommand("setContext", "lampwright.concerned", true);
    void lendSchemas(this.context.extensionPath, () => this.server?.isRunning ?? false);
    await (await this.theServer()).start();
  }

  async restart(): Promise<void> {
    await (await this.theServer()).restart();
  }

  async stop(): Promise<void> {
    await this.server?.stop();
  }

  /** The library that talks with servers is most of this extension; who opens other YAML files does not wait for it. */
  private async theServer(): Promise<Server> {
    const { Server } = await import("./server");
    this.server ??= new Server(this.channel, this.status);
    return this.server;
  }
}

const page = (name: Page) => (lampwright: Lampwright, given: unknown) => ofPlan(given, (plan) => lampwright.pages.show(name, plan));

/** The commands of package.json. */
const ACTIONS: Readonly<Record<string, (lampwright: Lampwright, given: unknown) => unknown>> = {
  check: (lampwright) => checkClub(lampwright.channel),
  figures: page("figures"),
  states: page("states"),
  cvs: page("cvs"),
  bench: (lampwright, given) => ofPlan(given, (plan) => lampwright.sheets.show(plan)),
  benchInBrowser: (lampwright) => lampwright.sheets.showInBrowser(),
  restart: (lampwright) => lampwright.restart(),
  log: (lampwright) => lampwright.channel.show(),
};

/** Does something for the plan that is given, or is in front, or is chosen. */
async function ofPlan(given: unknown, action: (plan: Uri) => Promise<void>): Promise<void> {
  const shown = given instanceof Uri ? given : window.activeTextEditor?.document.uri;
  const plan = shown !== undefined && isPlan(shown.path) ? shown : await choosePlan();
  if (plan !== undefined) {
    await action(plan);
  }
}

async function choosePlan(): Promise<Uri | undefined> {
  const plans = await workspace.findFiles(PLANS, "**/node_modules/**");
  const choices = plans.map((plan) => ({ label: workspace.asRelativePath(plan), plan }));
  choices.sort((one, other) => one.label.localeCompare(other.label));
  return (await window.showQuickPick(choices, { placeHolder: "Of which plan?" }))?.plan;
}
