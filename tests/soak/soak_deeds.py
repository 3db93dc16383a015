"""What happens in a soak, one deed after the other: each is drawn by the seed and its number, with nothing else in play."""

from __future__ import annotations

from collections.abc import Callable
from random import Random
from typing import Any

import soak_questions as questions
from soak_accepting import accept, apply_asked
from soak_club import FOLDERS
from soak_hands import Hands

Deed = Callable[[Hands, Random], None]
MOST_OPEN = 14
PREFERENCES = ({}, {}, {}, {}, {"workspaceDiagnostics": True}, {"inlayHints": {"currents": False}}, {"codeLens": False}, {"workspaceDiagnostics": False}, {"pages": "https://club.example/{rule}"}, {"inlayHints": 7}, {"workspaceDiagnostics": "no"})  # fmt: skip


def _open(hands: Hands, random: Random) -> None:
    (hands.close if len(hands.club.buffers) >= MOST_OPEN else hands.open)(random)


def _ask(hands: Hands, random: Random) -> None:
    questions.ask(hands.client, random, hands.some(random), hands.units, hands.shown)


def _ask_of_others(hands: Hands, random: Random) -> None:
    """A question about a file that is not open, or about none of ours."""
    odd = ("file:///nowhere/a.lights.yaml", "untitled:Untitled-1", "git:/a.lights.yaml?HEAD", "http://[", "", "file:///%00.lights.yaml")  # fmt: skip
    uri = random.choice(odd) if random.random() < 0.3 else hands.club.uri(random.choice(hands.club.files()))
    if uri in hands.club.buffers:
        return
    params = questions.params_of(method := random.choice(questions.METHODS), uri, {"line": 1, "character": 3})
    codes = (None, questions.REQUEST_FAILED)
    hands.client.question(f"textDocument/{method}", params, codes=codes, kind=f"textDocument/{method}, not open")


def _other_texts(hands: Hands, random: Random) -> None:
    """Texts that are none of ours, and news of texts that are not open."""
    uri = hands.club.uri(f"club/notes-{random.randint(1, 3)}.yaml")
    document = {"uri": uri, "languageId": "yaml", "version": 1, "text": "a: [\n"}
    method, params = random.choice(
        [
            ("didOpen", {"textDocument": document}),
            ("didChange", {"textDocument": {"uri": uri, "version": 2}, "contentChanges": [{"text": "lamps: {}\n"}]}),
            ("didSave", {"textDocument": {"uri": uri}}),
            ("didClose", {"textDocument": {"uri": uri}}),
        ]
    )
    hands.client.notify(f"textDocument/{method}", params, f"textDocument/{method}, other YAML")


def _findings(hands: Hands, random: Random) -> None:
    hands.shown.ask(hands.some(random).uri)


def _findings_of_all(hands: Hands, random: Random) -> None:
    """Ask for the findings of all files; whoever waits for news is not asked twice."""
    client = hands.client
    for key in [key for key in client.waiting if client.asked[key].waits]:
        client.cancel(key)
        hands.shown.take_of_all(client.wait_for(key))
    key = hands.shown.ask_of_all()
    if random.random() < 0.5 and not client.asked[key].waits:
        hands.shown.take_of_all(client.wait_for(key))


def _cancel(hands: Hands, random: Random) -> None:
    """Ask and take it back, at once or a few messages later; or take back what was answered long ago."""
    client = hands.client
    keys = [questions.ask(client, random, hands.some(random), hands.units, hands.shown) for _ in range(random.randint(1, 4))]  # fmt: skip
    if client.profile.asks and random.random() < 0.4:
        keys.append(hands.shown.ask(hands.some(random).uri))
    if random.random() < 0.4:
        hands.edit(random)
    for key in random.sample(keys, random.randint(1, len(keys))):
        client.cancel(key)
    if random.random() < 0.2:
        client.cancel(str(random.randint(1, client.last_number)), "a cancellation of something old")


def _ask_wrongly(hands: Hands, random: Random) -> None:
    questions.ask_wrongly(hands.client, random, hands.some(random))


def _by_client(deed: Callable[[Any, Random], None]) -> Deed:
    return lambda hands, random: deed(hands.client, random)


def _prefer(hands: Hands, random: Random) -> None:
    hands.client.settings = random.choice(PREFERENCES)
    wrapped = random.random() < 0.5
    settings = {"lampwright": hands.client.settings} if wrapped else hands.client.settings
    hands.client.notify("workspace/didChangeConfiguration", {"settings": settings})


def _change_folders(hands: Hands, random: Random) -> None:
    """The second folder comes or goes; now and then the first one."""
    is_complete = "club" in hands.club.folders
    folder = random.choice([*FOLDERS, "annex", "annex"]) if is_complete else "club"
    is_there = folder in hands.club.folders
    described = [{"uri": (hands.club.root / folder).as_uri(), "name": folder}]
    event = {"added": [] if is_there else described, "removed": described if is_there else []}
    hands.club.folders = [each for each in FOLDERS if (each in hands.club.folders) != (each == folder)]
    hands.client.notify("workspace/didChangeWorkspaceFolders", {"event": event})


def _touch(hands: Hands, random: Random) -> None:
    """News of files that have not changed, or that nobody has seen."""
    names = [random.choice(hands.club.files()) for _ in range(random.randint(0, 3))]
    hands.watched(*((name, random.choice([1, 2, 3])) for name in names), ("club/never.lights.yaml", 3))


DEEDS: dict[Deed, float] = {
    Hands.edit: 30,
    _ask: 30,
    _open: 5,
    Hands.close: 3,
    Hands.save: 2,
    Hands.rename: 1,
    Hands.delete: 1,
    Hands.rewrite: 1.5,
    Hands.restore: 0.2,
    Hands.halve: 0.7,
    _ask_of_others: 2,
    _other_texts: 1,
    _findings: 3,
    _findings_of_all: 1,
    _cancel: 3,
    accept: 2,
    _by_client(questions.ask_of_workspace): 1.5,
    _by_client(questions.ask_for_nothing): 1.5,
    _by_client(questions.tell_wrongly): 1.5,
    _by_client(questions.garble): 1,
    _by_client(questions.answer_unasked): 1,
    _ask_wrongly: 1.5,
    _prefer: 0.4,
    _change_folders: 0.5,
    _touch: 1,
}
"""Each deed, and how often it is done."""

MOODS = (0, 0, 3, 60)
"""How many questions may be open before the client waits: a patient one, a usual one, one that floods the server."""


def do(hands: Hands, seed: int, number: int) -> None:
    """The deed of that number."""
    random = Random(f"{seed} {number}")
    (deed,) = random.choices([*DEEDS], [*DEEDS.values()])
    deed(hands, random)
    apply_asked(hands)
    mood = Random(f"{seed} mood {number // 50}")
    hands.client.lateness = mood.choice([0.0, 0.0, 0.05])
    hands.client.hear()
    hands.client.wait_until(mood.choice(MOODS))
    hands.shown.take()
