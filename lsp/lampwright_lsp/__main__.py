"""`python -m lampwright_lsp` is `lampwright server`."""

from __future__ import annotations

from lampwright_lsp.starting import main

main()
