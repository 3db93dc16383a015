"""`lampwright server`: hands the process over to the language server, which this package does not know."""

from __future__ import annotations

import gc
import importlib

from lampwright.cli.printing import complain

_SERVER = "lampwright_lsp.starting"
# Not this package by its name: where that comes from is for the club to say.
_MISSING = 'the language server needs a library that is not installed; run: pip install "pygls>=2,<3"'


def run_server() -> int:
    """Serve until the editor has gone. The server ends the process itself; this returns only where it cannot begin."""
    # What is imported is no garbage, and the server looks for some once it has begun.
    gc.disable()
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
