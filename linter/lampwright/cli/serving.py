"""`lampwright server`: hands the process over to the language server, which this package does not know."""

from __future__ import annotations

import importlib

from lampwright.cli.printing import complain

_SERVER = "lampwright_lsp.starting"
_MISSING = 'the language server needs libraries that are not installed; run: pip install "lampwright[server]"'


def run_server() -> int:
    """Serve until the editor has gone. The server ends the process itself; this returns only where it cannot begin."""
    try:
        server = importlib.import_module(_SERVER)
    except ModuleNotFoundError as error:
        if (error.name or "").startswith(_SERVER.partition(".")[0]):
            # A part of our own that is missing is nothing that a user can install.
            raise
        complain(_MISSING)
        return 2
    status: int = server.main()
    return status
