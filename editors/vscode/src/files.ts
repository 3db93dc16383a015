// Which of our four kinds a file is, told by its name. Knows nothing of what files say.

/** The ends of the names of our files; settings have a whole name. Held against the command's own by a test. */
export const ENDS = [".lights.yaml", ".decoder.yaml", ".parts.yaml"] as const;
export const SETTINGS = "lampwright.yaml";

/** What finds our files in folders. */
export const PATTERNS = [...ENDS.map((end) => `**/*${end}`), `**/${SETTINGS}`];
export const PLANS = `**/*${ENDS[0]}`;

/** The end of the name that says what kind of file this is, or the whole name of settings; undefined if it is none of ours. */
export function kindOf(path: string): string | undefined {
  const name = path.slice(path.lastIndexOf("/") + 1);
  return name === SETTINGS ? SETTINGS : ENDS.find((end) => name.endsWith(end) && name !== end);
}

export function isOurs(path: string): boolean {
  return kindOf(path) !== undefined;
}

export function isPlan(path: string): boolean {
  return kindOf(path) === ENDS[0];
}
