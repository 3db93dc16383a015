"""The language server of Lampwright: a second reader of the reports that `lampwright check` prints.

The server itself is not written yet; this package is its place, so that the contracts of the architecture hold from
the first day: nothing in `lampwright` imports it.
"""
