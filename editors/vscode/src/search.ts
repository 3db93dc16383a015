// Where the command `lampwright` is: a setting, the folders' virtual environments, the PATH. Runs nothing.

import { accessSync, constants, statSync } from "node:fs";
import { homedir } from "node:os";
import { delimiter, isAbsolute, join, resolve } from "node:path";

export interface Found {
  readonly path: string;
  /** In words, for people. */
  readonly from: string;
}

export interface Missing {
  /** What is wrong, as a sentence. */
  readonly why: string;
}

/** Finds the command. `setting` may be empty; `folders` are those of the workspace, and must be trusted. */
export function findCommand(setting: string, folders: readonly string[]): Found | Missing {
  if (setting.trim()) {
    return atSetting(setting.trim(), folders);
  }
  for (const folder of folders) {
    for (const environment of [".venv", "venv"]) {
      for (const scripts of ["bin", "Scripts"]) {
        const path = executable(join(folder, environment, scripts));
        if (path !== undefined) {
          return { path, from: `the ${environment} of this folder` };
        }
      }
    }
  }
  // A relative entry would mean whatever folder happens to be open.
  for (const entry of (process.env["PATH"] ?? "").split(delimiter).filter(isAbsolute)) {
    const path = executable(entry);
    if (path !== undefined) {
      return { path, from: "the PATH" };
    }
  }
  return { why: "Lampwright was not found: it is neither in the .venv or venv of this folder nor on the PATH." };
}

function atSetting(setting: string, folders: readonly string[]): Found | Missing {
  const folder = folders[0] ?? homedir();
  const written = setting.replace(/^~(?=[/\\]|$)/, homedir()).replaceAll("${workspaceFolder}", folder);
  const path = resolve(folder, written);
  return isExecutable(path)
    ? { path, from: "the setting" }
    : { why: `Lampwright was not found: the setting lampwright.server.path says "${path}", which is no program.` };
}

function executable(folder: string): string | undefined {
  const path = join(folder, process.platform === "win32" ? "lampwright.exe" : "lampwright");
  return isExecutable(path) ? path : undefined;
}

function isExecutable(path: string): boolean {
  try {
    accessSync(path, constants.X_OK);
    return statSync(path).isFile();
  } catch {
    return false;
  }
}
