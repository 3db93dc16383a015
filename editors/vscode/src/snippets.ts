// Snippets, offered where they make sense and in our files only: what a language's snippets cannot be told.

import {
  CompletionItem, CompletionItemKind, languages, MarkdownString, Position, Range, SnippetString,
  type CompletionItemProvider, type Disposable, type TextDocument,
} from "vscode";
import { kindOf, PATTERNS } from "./files";
import entries from "../snippets/snippets.json";

interface Snippet {
  readonly prefix: string;
  readonly description: string;
  readonly body: readonly string[];
  /** The end of the names of the files that it is for. */
  readonly file: string;
  /** The key at the margin that it stands below; without one it is a whole file. */
  readonly below?: string;
}

const SNIPPETS: readonly Snippet[] = entries;

/** Offers the snippets that may stand where the cursor is. Needs no server. */
export function offerSnippets(): Disposable {
  const provider: CompletionItemProvider = {
    provideCompletionItems: (document, position) => {
      const start = wordStart(document, position);
      if (start === undefined) {
        return [];
      }
      const range = new Range(new Position(position.line, start), position);
      const below = keyAbove(document, position.line);
      const fitting = SNIPPETS.filter((each) => each.file === kindOf(document.uri.path) && fits(each, document, range, below));
      return fitting.map((each) => item(each, range));
    },
  };
  return languages.registerCompletionItemProvider(PATTERNS.map((pattern) => ({ pattern })), provider);
}

function fits(snippet: Snippet, document: TextDocument, range: Range, below: string | undefined): boolean {
  if (snippet.below !== undefined) {
    return snippet.below === below && range.start.character > 0;
  }
  // A whole file goes where nothing else is.
  return range.start.character === 0 && document.getText().trim() === document.getText(range).trim();
}

/** Where the word starts that is being typed, if nothing else stands before it on its line. */
function wordStart(document: TextDocument, position: Position): number | undefined {
  const typed = document.lineAt(position.line).text.slice(0, position.character);
  return /^\s*(?=[\w-]*$)/.exec(typed)?.[0].length;
}

function keyAbove(document: TextDocument, line: number): string | undefined {
  for (let above = line - 1; above >= 0; above -= 1) {
    const key = /^([\w-]+):/.exec(document.lineAt(above).text);
    if (key !== null) {
      return key[1];
    }
  }
  return undefined;
}

function item(snippet: Snippet, range: Range): CompletionItem {
  const made = new CompletionItem({ label: snippet.prefix, description: snippet.description }, CompletionItemKind.Snippet);
  made.insertText = new SnippetString(snippet.body.join("\n"));
  made.documentation = new MarkdownString().appendCodeblock(plain(snippet.body.join("\n")), "yaml");
  made.range = range;
  // Behind what the server knows to be missing here.
  made.sortText = `~${snippet.prefix}`;
  return made;
}

/** A snippet as it looks before anything is typed into it. */
function plain(body: string): string {
  return body.replace(/\$\{\d+:([^}]*)\}/g, "$1").replace(/\$\{\d+\|([^,|]*)[^}]*\}/g, "$1").replace(/\$\d+/g, "");
}
