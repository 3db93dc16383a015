"""`lampwright server`: hands the process over to the language server, which this package does not know."""

from __future__ import annotations

import runpy

from lampwright.cli.printing import complain

_SERVER = "lampwright_lsp"
_MISSING = 'the language server needs more than is installed; run: pip install "lampwright[server]"'


def run_server() -> int:
    """Serve until the editor has gone. The server ends the process itself, so that this returns only if it cannot."""
    try:
        runpy.run_module(_SERVER, run_name="__main__", alter_sys=True)
    except ModuleNotFoundError:
        complain(_MISSING)
        return 2
    return 0
