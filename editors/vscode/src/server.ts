// The life of the language server: begins it, begins it again if it dies, and says so where it cannot be begun.

import { spawn, type ChildProcess } from "node:child_process";
import {
  commands, window, workspace, WorkspaceEdit, type CodeAction, type CodeLens, type Disposable, type OutputChannel, type Uri,
} from "vscode";
import {
  CloseAction, ErrorAction, LanguageClient, RevealOutputChannelOn, State,
  type LanguageClientOptions,
} from "vscode-languageclient/node";
import { command, ENVIRONMENT, folders } from "./command";
import { PATTERNS } from "./files";
import type { Found } from "./search";
import type { Status } from "./status";

const RESTARTS = 4;
const WITHIN = 180_000;

/** The server that is running, if one is. */
export class Server implements Disposable {
  private client: LanguageClient | undefined;
  private turn: Promise<void> = Promise.resolve();
  private complaint = "";
  private deaths: number[] = [];

  constructor(
    private readonly channel: OutputChannel,
    private readonly status: Status,
  ) {}

  /** Whether our server answers for our files. */
  get isRunning(): boolean {
    return this.client?.state === State.Running;
  }

  /** Begins a server unless there is one. Without a command, or in a folder that is not trusted, it says what to do. */
  start(): Promise<void> {
    return this.next(() => (this.client === undefined ? this.begin() : Promise.resolve()));
  }

  restart(): Promise<void> {
    return this.next(async () => {
      this.deaths = [];
      await this.end();
      await this.begin();
    });
  }

  stop(): Promise<void> {
    return this.next(() => this.end());
  }

  dispose(): void {
    void this.stop();
  }

  /** One after the other: a start that is under way must not meet another. */
  private next(step: () => Promise<void>): Promise<void> {
    this.turn = this.turn.then(step, step);
    return this.turn;
  }

  private async begin(): Promise<void> {
    if (!workspace.isTrusted) {
      this.status.untrusted();
      return;
    }
    const found = command();
    if ("why" in found) {
      this.status.missing(found.why);
      void tellMissing(found.why);
      return;
    }
    this.status.starting(found);
    const client = new LanguageClient("lampwright", "Lampwright", () => this.spawned(found), this.options());
    this.client = client;
    try {
      await client.start();
      this.status.running(found, client.initializeResult?.serverInfo?.version ?? "");
    } catch (error) {
      this.client = undefined;
      this.failed(lastLine(this.complaint) || (error instanceof Error ? error.message : String(error)));
    }
  }

  private async end(): Promise<void> {
    const client = this.client;
    this.client = undefined;
    if (client !== undefined) {
      // One that is dead already, or does not answer, has nothing left to be saved.
      await client.dispose(2000).catch(() => undefined);
    }
    this.status.stopped();
  }

  private spawned(found: Found): Promise<ChildProcess> {
    this.complaint = "";
    const child = spawn(found.path, ["server"], {
      cwd: folders()[0], windowsHide: true, env: { ...process.env, ...ENVIRONMENT },
    });
    child.stderr.on("data", (text: Buffer) => {
      this.complaint = (this.complaint + text.toString("utf8")).slice(-4000);
    });
    return new Promise((settle, refuse) => {
      child.once("spawn", () => settle(child));
      child.once("error", refuse);
    });
  }

  private options(): LanguageClientOptions {
    return {
      documentSelector: PATTERNS.map((pattern) => ({ scheme: "file", pattern })),
      initializationOptions: workspace.getConfiguration("lampwright"),
      diagnosticCollectionName: "lampwright",
      diagnosticPullOptions: { onChange: true, onSave: true },
      outputChannel: this.channel,
      revealOutputChannelOn: RevealOutputChannelOn.Never,
      // What is said comes from files that others may have written.
      markdown: { isTrusted: false, supportHtml: false },
      initializationFailedHandler: () => false,
      errorHandler: {
        error: () => ({ action: ErrorAction.Continue, handled: true }),
        closed: () => this.died(),
      },
      middleware: {
        provideCodeLenses: async (document, token, next) => {
          const lenses = await next(document, token);
          return lenses?.map((lens) => doing(lens, document.uri));
        },
        provideCodeActions: async (document, range, context, token, next) => {
          const actions = await next(document, range, context, token);
          actions?.forEach((action) => "edit" in action && unasked(action, document.uri));
          return actions;
        },
      },
    };
  }

  private died(): { action: CloseAction; handled: boolean } {
    const now = Date.now();
    this.deaths = [...this.deaths.filter((death) => now - death < WITHIN), now];
    const isBegun = this.client?.initializeResult !== undefined;
    if (isBegun && this.deaths.length <= RESTARTS) {
      return { action: CloseAction.Restart, handled: true };
    }
    if (isBegun) {
      this.client = undefined;
      this.failed(lastLine(this.complaint) || "it ended again and again");
    }
    return { action: CloseAction.DoNotRestart, handled: true };
  }

  private failed(why: string): void {
    this.status.failed(why);
    void tellFailed(why);
  }
}

/** What the server says above a plan, made into what one can click: it says what there is to see, we know where. */
function doing(lens: CodeLens, plan: Uri): CodeLens {
  const title = lens.command?.title ?? "";
  if (/ CVs?$/.test(title)) {
    lens.command = { title, command: "lampwright.cvs", arguments: [plan] };
  } else if (title.endsWith(" together")) {
    lens.command = { title, command: "lampwright.figures", arguments: [plan] };
  } else if (title) {
    lens.command = { title, command: "workbench.actions.view.problems" };
  }
  return lens;
}

/**
 * Takes the question off a fix of this very file. The server has one asked before a fix that could be meant otherwise, and
 * here that opens a panel with boxes to tick; who has just chosen "Put in 1.5 kohm" by its name has answered already.
 */
function unasked(action: CodeAction, document: Uri): void {
  const entries = action.edit?.entries() ?? [];
  if (entries.length === 1 && entries[0]?.[0].toString() === document.toString()) {
    action.edit = new WorkspaceEdit();
    action.edit.set(document, entries[0][1]);
  }
}

function lastLine(text: string): string {
  return text.trim().split("\n").at(-1)?.replace(/^lampwright: (error: )?/, "") ?? "";
}

async function tellMissing(why: string): Promise<void> {
  const [how, where, again] = ["How to Install It", "Say Where It Is", "Look Again"];
  const chosen = await window.showErrorMessage(why, how, where, again);
  if (chosen === how) {
    await commands.executeCommand("workbench.action.openWalkthrough", "lampwright.lampwright#start", false);
  } else if (chosen === where) {
    await commands.executeCommand("workbench.action.openSettings", "lampwright.server.path");
  } else if (chosen === again) {
    await commands.executeCommand("lampwright.restart");
  }
}

async function tellFailed(why: string): Promise<void> {
  const [again, log] = ["Start It Again", "Show the Log"];
  const chosen = await window.showErrorMessage(`The server of Lampwright does not run: ${why}`, again, log);
  if (chosen !== undefined) {
    await commands.executeCommand(chosen === again ? "lampwright.restart" : "lampwright.log");
  }
}
