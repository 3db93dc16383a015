"""The types of the protocol are written when they are used, and are what they would have been at once."""

import re
import subprocess
import sys
from pathlib import Path

from command import environment

LSP = Path(__file__).parents[2] / "lsp"

PRINT_ALL = """
import attrs
from lsprotocol import converters, types

converters.get_converter()
for name, kind in sorted(types.ALL_TYPES_MAP.items()):
    if isinstance(kind, type) and attrs.has(kind):
        for field in attrs.fields(kind):
            print(name, field.name, field.type, field.default, field.kw_only, field.validator, field.eq)
print(types.Position(1, 2), types.Position(1, 2) < types.Position(2, 0), types.Position(1, 2) == types.Position(1, 2))
print(types.Range.__match_args__, types.Range.__hash__)
"""
USE_ONE = """
import threading
from lampwright_lsp import vocabulary

made, all_there = [], threading.Barrier(16)

def make():
    all_there.wait()
    made.append(vocabulary.types.CompletionItem("a lamp", sort_text="1"))

hands = [threading.Thread(target=make) for _ in range(16)]
for hand in hands:
    hand.start()
for hand in hands:
    hand.join()
assert made == [vocabulary.types.CompletionItem("a lamp", sort_text="1")] * 16
"""


def _said(code: str) -> str:
    env = environment()
    env["PYTHONPATH"] += f":{LSP}"
    ended = subprocess.run([sys.executable, "-c", code], env=env, capture_output=True, text=True, check=True)
    return re.sub(" at 0x[0-9a-f]+", "", ended.stdout)


def test_each_type_is_what_the_library_makes_of_it() -> None:
    at_once = _said(PRINT_ALL)
    assert at_once.count("\n") > 1000
    assert _said("import lampwright_lsp\n" + PRINT_ALL) == at_once


def test_many_threads_may_use_one_for_the_first_time() -> None:
    for _ in range(5):
        _said(USE_ONE)


def test_a_server_that_was_made_has_written_few() -> None:
    made = "from lampwright_lsp import server, vocabulary; server.make_server(); print(len(vocabulary._WAITING))"
    assert int(_said(made)) > 500
