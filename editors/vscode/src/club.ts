// Checks all folders that are open, as the command does in a terminal: lines to click into the channel, sums in a message.

import { join } from "node:path";
import { commands, ProgressLocation, window, workspace, type OutputChannel } from "vscode";
import { folders, run } from "./command";
import { isOurs } from "./files";

/** Checks the club. */
export async function checkClub(channel: OutputChannel): Promise<void> {
  const progress = { location: ProgressLocation.Window, title: "Lampwright checks the club" };
  await window.withProgress(progress, async () => {
    channel.clear();
    const sums: string[] = [];
    for (const folder of folders()) {
      sums.push(await checkFolder(folder, channel));
    }
    // What the server found is in the panel already, with its fixes; the channel is for reading and copying.
    const isListed = workspace.getConfiguration("lampwright").get("workspaceDiagnostics", true);
    await (isListed ? commands.executeCommand("workbench.actions.view.problems") : channel.show(true));
    void tell(sums.join("; ") || "No folder is open that could be checked.", channel);
  });
}

async function tell(sums: string, channel: OutputChannel): Promise<void> {
  if ((await window.showInformationMessage(sums, "Show the Lines")) !== undefined) {
    channel.show();
  }
}

async function checkFolder(folder: string, channel: OutputChannel): Promise<string> {
  channel.appendLine(`lampwright check ${folder}`);
  if (workspace.textDocuments.some((each) => each.isDirty && isOurs(each.uri.path))) {
    channel.appendLine("This is about the files as they were saved; some have changes that are not.");
  }
  const answer = await run(["check", "--format", "line", folder], folder);
  if (answer.status === 2 && !answer.output) {
    channel.appendLine(answer.complaint);
    return answer.complaint.trim().split("\n").at(-1) ?? "";
  }
  const found = answer.output.split("\n").map((line) => LINE.exec(line));
  const levels = found.map((each) => each?.groups?.["level"] ?? "");
  channel.append(answer.output.replace(LINES, (_line, file: string, rest: string) => join(folder, file) + rest));
  channel.append(answer.complaint);
  const sums = ["error", "warning", "note"].map((level) => counted(levels.filter((each) => each === level).length, level));
  return `Lampwright found ${sums.join(", ")} in "${folder.replace(/.*[/\\]/, "")}"`;
}

const LINE = /^(?<file>.+?):\d+:\d+: (?<level>error|warning|note): /;
// The channel makes links of whole paths only.
const LINES = /^(.+?)(:\d+:\d+: (?:error|warning|note): )/gm;

function counted(number: number, thing: string): string {
  return `${number} ${thing}${number === 1 ? "" : "s"}`;
}
