"""Shells with a person at the keyboard: what is typed, the Tab key included, and what the command then gets to see.

On the path stands a `lampwright` that answers the shell as ours does, and that otherwise says what it was called with.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pexpect
import pytest

from command import SECONDS, environment
from lampwright.cli.beginning import SHELLS

_STAND_IN = """\
#!/bin/sh
if [ -n "$_ARGCOMPLETE" ]; then exec {python} -m lampwright; fi
printf '\\n<called'; printf '<%s>' "$@"; printf '>\\n'
"""
_STARTS = {
    # Without what a user or a system has set up for itself.
    "bash": ["--norc", "--noprofile", "-i"],
    "zsh": ["-f", "-i"],
}
_READY = "ready-for-keys"


def typed(shell: str, keys: str, folder: Path) -> list[str]:
    """The arguments that `lampwright` is called with after `keys` and Enter are typed in `folder`."""
    if shutil.which(shell) is None:
        pytest.skip(f"{shell} is not installed; apt-get install {shell}")
    if shell == "fish":
        return _chosen_by_fish(keys, folder)
    terminal = pexpect.spawn(
        shell, _STARTS[shell], cwd=str(folder), env=_environment(folder), encoding="utf-8", timeout=SECONDS
    )
    # A wide terminal, so that no line is broken and drawn anew.
    terminal.setwinsize(40, 400)
    try:
        for line in _set_up(shell, folder):
            terminal.sendline(line)
        terminal.sendline(f"echo {_READY[:5]}''{_READY[5:]}")
        terminal.expect_exact(_READY)
        terminal.send(f"lampwright {keys}")
        # A shell that is still completing would take Enter for the answer to its question.
        terminal.send("\x05\r")
        terminal.expect(r"<called(.*)>\r?\n")
        called: str = terminal.match.group(1)
    finally:
        terminal.close(force=True)
    return re.findall("<(.*?)>", called)


def offered_by_fish(line: str, folder: Path) -> dict[str, str]:
    """What fish offers at the end of `line`, each with the words beside it."""
    script = f"source {_script('fish', folder)}; complete -C 'lampwright {line}'"
    command = [_found("fish"), "--no-config", "-c", script]
    told = subprocess.run(
        command, cwd=folder, env=_environment(folder), capture_output=True, text=True, check=True, timeout=SECONDS
    )
    return dict((*row.split("\t"), "")[:2] for row in told.stdout.splitlines())


def _chosen_by_fish(keys: str, folder: Path) -> list[str]:
    """As fish puts in what alone is offered, which its own editor does; it has no keys without one."""
    line = keys.rstrip("\t")
    offered = list(offered_by_fish(line, folder))
    words = line.split(" ")
    if keys.endswith("\t") and len(offered) == 1:
        words[-1] = offered[0]
    return [word.rstrip() for word in words if word]


def _set_up(shell: str, folder: Path) -> list[str]:
    script = _script(shell, folder)
    if shell == "bash":
        return [f". {script}"]
    return [f"fpath=({script.parent} $fpath)", "autoload -U compinit && compinit -u -D"]


def _script(shell: str, folder: Path) -> Path:
    """What our command prints for `shell`, in a file as shells look for it."""
    path = folder / ".shells" / f"_lampwright{'.fish' if shell == 'fish' else ''}"
    if not path.exists():
        line = [sys.executable, "-m", "lampwright", "completion", shell]
        told = subprocess.run(line, env=environment(), capture_output=True, check=True, timeout=SECONDS)
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(told.stdout)
        stand_in = path.parent / "lampwright"
        stand_in.write_text(_STAND_IN.format(python=sys.executable))
        stand_in.chmod(0o755)
    return path


def _environment(folder: Path) -> dict[str, str]:
    path = f"{folder / '.shells'}{os.pathsep}{os.environ['PATH']}"
    return {**environment(PATH=path, HOME=str(folder)), "LC_ALL": "C.UTF-8", "PS1": "$ "}


def _found(shell: str) -> str:
    found = shutil.which(shell)
    if found is None:
        pytest.skip(f"{shell} is not installed; apt-get install {shell}")
    return found


__all__ = ["SHELLS", "offered_by_fish", "typed"]
