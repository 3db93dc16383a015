// Runs the command for one answer. Where it is, is looked up each time, so that one that was just installed is found.

import { execFile } from "node:child_process";
import { workspace, type Uri } from "vscode";
import { findCommand, type Found, type Missing } from "./search";

export interface Answer {
  /** What the command ended with; 2 is a command that could not do its work. */
  readonly status: number;
  readonly output: string;
  readonly complaint: string;
}

const PATIENCE = 120_000;
const MOST = 64 * 1024 * 1024;

/** The folders that are open, as paths on the disk. */
export function folders(): string[] {
  return (workspace.workspaceFolders ?? []).filter((each) => each.uri.scheme === "file").map((each) => each.uri.fsPath);
}

/** Where the command is. Nothing is looked for where the folder is not trusted. */
export function command(): Found | Missing {
  if (!workspace.isTrusted) {
    return { why: "Lampwright starts nothing in a folder that you do not trust." };
  }
  return findCommand(workspace.getConfiguration("lampwright").get("server.path", ""), folders());
}

/** The folder to run in for a file: paths in what the command prints start there. */
export function folderOf(file: Uri): string {
  return workspace.getWorkspaceFolder(file)?.uri.fsPath ?? folders()[0] ?? file.with({ path: file.path.replace(/\/[^/]*$/, "/") }).fsPath;
}

/** What the environment of the command has besides ours: plain text in UTF-8, of a width for a half of a window. */
export const ENVIRONMENT = { PYTHONUTF8: "1", NO_COLOR: "1", COLUMNS: "78" };

/** What the command says to these words. */
export function run(words: readonly string[], folder: string): Promise<Answer> {
  const found = command();
  if ("why" in found) {
    return Promise.resolve({ status: 2, output: "", complaint: found.why });
  }
  const options = {
    cwd: folder, timeout: PATIENCE, maxBuffer: MOST, windowsHide: true, env: { ...process.env, ...ENVIRONMENT },
  };
  return new Promise((settle) => {
    execFile(found.path, [...words], options, (error, output, complaint) => {
      const status = error === null ? 0 : typeof error.code === "number" ? error.code : 2;
      settle({ status, output, complaint: complaint || (status === 2 ? (error?.message ?? "") : "") });
    });
  });
}
