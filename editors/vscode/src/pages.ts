// Pages about a plan that the command prints, as documents beside it that nobody can write in. They follow each save.

import {
  EventEmitter, languages, TabInputText, Uri, ViewColumn, window, workspace, type Disposable, type TextDocumentContentProvider,
} from "vscode";
import { folderOf, run } from "./command";
import { isOurs } from "./files";

export const SCHEME = "lampwright-page";

/** What there are pages of: the command's name for it, and what the page is called. */
export const PAGES = { figures: "figures", states: "states", cvs: "CVs" } as const;
export type Page = keyof typeof PAGES;

export class Pages implements TextDocumentContentProvider, Disposable {
  private readonly changed = new EventEmitter<Uri>();
  readonly onDidChange = this.changed.event;
  private readonly registered: Disposable[];

  constructor() {
    this.registered = [
      workspace.registerTextDocumentContentProvider(SCHEME, this),
      // A sheet or a catalogue that is saved may change what is said of any plan.
      workspace.onDidSaveTextDocument((saved) => isOurs(saved.uri.path) && this.refresh()),
    ];
  }

  /** Shows a page beside its plan. */
  async show(page: Page, plan: Uri): Promise<void> {
    const name = plan.path.replace(/\.lights\.yaml$/, "");
    const address = Uri.from({ scheme: SCHEME, path: `${name} · ${PAGES[page]}`, query: `${page}:${plan.toString()}` });
    const opened = await workspace.openTextDocument(address);
    // One that was open already may be of before a change that was made elsewhere.
    this.changed.fire(address);
    await window.showTextDocument(await languages.setTextDocumentLanguage(opened, SCHEME), {
      viewColumn: columnOfPages() ?? ViewColumn.Beside, preserveFocus: true, preview: false,
    });
  }

  async provideTextDocumentContent(address: Uri): Promise<string> {
    const [page = "", ...rest] = address.query.split(":");
    const plan = Uri.parse(rest.join(":"));
    const answer = await run([page, plan.fsPath], folderOf(plan));
    const isOld = workspace.textDocuments.some((each) => each.isDirty && each.uri.toString() === plan.toString());
    const remark = isOld ? "# Of the plan as it was saved; what you have changed since is not in this.\n\n" : "";
    return remark + (answer.status === 0 ? answer.output : `${answer.complaint || answer.output}`);
  }

  dispose(): void {
    this.registered.forEach((each) => void each.dispose());
    this.changed.dispose();
  }

  private refresh(): void {
    for (const each of workspace.textDocuments.filter((document) => document.uri.scheme === SCHEME)) {
      this.changed.fire(each.uri);
    }
  }
}

/** Where a page is open already: a second one goes there, not into a third column. */
function columnOfPages(): ViewColumn | undefined {
  const isPage = (input: unknown) => input instanceof TabInputText && input.uri.scheme === SCHEME;
  return window.tabGroups.all.find((group) => group.tabs.some((tab) => isPage(tab.input)))?.viewColumn;
}
