"""Our reader, from text to a tree with places and comments, against the bare events of libyaml; processor time for a line."""

from __future__ import annotations

from functools import partial
from typing import Any

import yaml
from _ruamel_yaml import CParser
from club import make_club, make_long_plan
from measuring import Figure, Measured, own_seconds
from peers import Bench

from lampwright.syntax import parse
from lampwright.text import Source

PEERS: dict[str, Any] = {
    "libyaml's events by ruamel.yaml.clib": CParser,
    "libyaml's events by PyYAML": yaml.cyaml.CParser,
}


def measure(bench: Bench) -> Measured:
    club = bench.club("reading")
    figures = []
    for path in (*make_club(club, 1), make_long_plan(club, bench.counts.long)):
        text = path.read_text("utf-8")
        lines = text.count("\n")
        ours, *peers = (
            1e6 * own_seconds(partial(work, text), bench.counts.rounds) / lines
            for work in (_tree, *(partial(_events, parser) for parser in PEERS.values()))
        )
        what = f"reading a line, plan of {lines:,}"
        figures += [Figure(what, ours, "µs", name, peer) for name, peer in zip(PEERS, peers, strict=True)]
    return Measured(figures, ["Processor time, the fastest of several rounds. Events carry places, but make no tree."])


def _tree(text: str) -> None:
    parse(Source("long.lights.yaml", text))


def _events(parser: Any, text: str) -> None:
    given = parser(text)
    while given.get_event() is not None:
        pass
