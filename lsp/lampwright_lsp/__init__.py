"""The language server of Lampwright: a second reader of the reports that `lampwright check` prints.

`starting` reads messages, `server` hands each to a feature, `documents` makes of a text what features read.
"""

# Before any module of ours imports the library's types.
from lampwright_lsp import vocabulary as vocabulary
