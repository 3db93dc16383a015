// How it stands with the server, beside the language of our files in the status bar; other files show nothing of it.

import { languages, LanguageStatusSeverity, type Disposable, type LanguageStatusItem } from "vscode";
import { PATTERNS } from "./files";
import type { Found } from "./search";

export class Status implements Disposable {
  private readonly item: LanguageStatusItem;

  constructor() {
    this.item = languages.createLanguageStatusItem("lampwright", PATTERNS.map((pattern) => ({ pattern })));
    this.item.name = "Lampwright";
    this.stopped();
  }

  starting(found: Found): void {
    this.show("Lampwright begins", found.path, LanguageStatusSeverity.Information);
    this.item.busy = true;
  }

  running(found: Found, version: string): void {
    this.show(`Lampwright ${version}`, `from ${found.from}`, LanguageStatusSeverity.Information);
    this.item.command = { title: "Check the Club", command: "lampwright.check" };
  }

  untrusted(): void {
    this.show("Lampwright is off", "this folder is not trusted", LanguageStatusSeverity.Warning);
    this.item.command = { title: "Manage Trust", command: "workbench.trust.manage" };
  }

  missing(why: string): void {
    this.show("Lampwright is missing", why, LanguageStatusSeverity.Error);
    this.item.command = { title: "Look Again", command: "lampwright.restart" };
  }

  failed(why: string): void {
    this.show("Lampwright does not run", why, LanguageStatusSeverity.Error);
    this.item.command = { title: "Start It Again", command: "lampwright.restart" };
  }

  stopped(): void {
    this.show("Lampwright", "not started", LanguageStatusSeverity.Information);
  }

  dispose(): void {
    this.item.dispose();
  }

  private show(text: string, detail: string, severity: LanguageStatusSeverity): void {
    Object.assign(this.item, { text, detail, severity, busy: false, command: undefined });
  }
}
