// JSON Schemas for a general YAML extension, if there is one, for as long as our own server does not answer.
//
// Such an extension completes, explains and checks by a schema, and so does our server, which knows more. Of two that
// answer, people would see everything twice. A schema that stands in package.json is always on, so it is not there:
// the extension is asked, through what it offers other extensions for this, for each file anew.

import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { extensions, Uri } from "vscode";
import { ENDS, kindOf, SETTINGS } from "./files";

const YAML = "redhat.vscode-yaml";
/** The extension asks for content by the scheme of an address, so that both must be called the same. */
const SCHEME = "lampwright";

/** The schema of each kind of file. */
export const SCHEMAS: Readonly<Record<string, string>> = {
  [ENDS[0]]: "lighting-plan.schema.json",
  [ENDS[1]]: "decoder-sheet.schema.json",
  [ENDS[2]]: "parts-catalogue.schema.json",
  [SETTINGS]: "settings.schema.json",
};

interface YamlExtension {
  registerContributor(
    scheme: string,
    schemaOf: (file: string) => string | undefined,
    contentOf: (address: string) => Promise<string> | undefined,
  ): boolean;
}

/** Lends our schemas to the YAML extension while `isAnswering` says no. Only to be called once one of our files matters. */
export async function lendSchemas(folder: string, isAnswering: () => boolean): Promise<void> {
  const yaml: unknown = await extensions.getExtension(YAML)?.activate();
  if (isYamlExtension(yaml)) {
    const schemaOf = (file: string) => {
      const name = SCHEMAS[kindOf(Uri.parse(file).path) ?? ""];
      return name === undefined || isAnswering() ? undefined : `${SCHEME}://schemas/${name}`;
    };
    yaml.registerContributor(SCHEME, schemaOf, (address) => {
      const name = Object.values(SCHEMAS).find((each) => address.endsWith(`/${each}`));
      return name === undefined ? undefined : readFile(join(folder, "dist", "schemas", name), "utf8");
    });
  }
}

function isYamlExtension(given: unknown): given is YamlExtension {
  return typeof (given as YamlExtension | undefined)?.registerContributor === "function";
}
