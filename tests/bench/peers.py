"""The programs that are measured: this checkout as its users install it, its peers, and in what they run."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import venv
from dataclasses import dataclass
from pathlib import Path

from club import ROOT
from measuring import Counts

# What is measured in this process is this checkout, too, whatever is installed.
sys.path.insert(0, str(ROOT / "linter"))
sys.path.insert(0, str(ROOT / "tests"))

from outside import ngspice

SCHEMA = ROOT / "schemas" / "lighting-plan.schema.json"
PEERS = ("yamllint", "check-jsonschema")
SHOWN_VERSIONS = ("lampwright", *PEERS, "jsonschema", "ruamel.yaml", "ruamel.yaml.clib", "PyYAML")
EDITOR_PEER = "yaml-language-server"


@dataclass(frozen=True, slots=True)
class Bench:
    """Where the programs are, a folder to work in, and how much to measure.

    `editor_peer` is the line that starts the other server, None where that cannot be had.
    """

    programs: Path
    folder: Path
    counts: Counts
    variables: dict[str, str]
    editor_peer: tuple[str, ...] | None

    def environment(self, **more: str) -> dict[str, str]:
        return {**self.variables, **more}

    def program(self, name: str) -> str:
        return str(self.programs / name)

    def run(self, command: list[str], folder: Path = ROOT, **more: str) -> subprocess.CompletedProcess[bytes]:
        """What `command` said; that it did not do its work is raised."""
        ended = subprocess.run(command, cwd=folder, env=self.environment(**more), capture_output=True, check=False)
        # Yamllint finds the style of plans wrong, which is status 1; they are right for the others.
        if ended.returncode != 0 and "yamllint" not in command[0]:
            raise RuntimeError(f"{command[:3]} ended with {ended.returncode}: {ended.stdout!r} {ended.stderr!r}")
        return ended

    def club(self, name: str) -> Path:
        """An empty folder for a club."""
        path = self.folder / name
        path.mkdir()
        return path

    def versions(self) -> dict[str, str]:
        """Of all that is measured."""
        code = f"from importlib.metadata import version; print(*map(version, {SHOWN_VERSIONS}))"
        numbers = self.run([self.program("python"), "-c", code]).stdout.decode().split()
        found = dict(zip(SHOWN_VERSIONS, numbers, strict=True))
        if ngspice.is_installed():
            found["ngspice"] = ngspice.version()
        if self.editor_peer is not None:
            found[EDITOR_PEER] = _editor_peer_version(self.folder / EDITOR_PEER)
        return found


def installed(folder: Path, counts: Counts) -> Bench:
    """A bench with this checkout and its peers in an environment of their own, not editable, all compiled."""
    programs = folder / "programs"
    venv.create(programs, with_pip=True)
    variables = _environment()
    line = ["-m", "pip", "install", "--quiet", "--disable-pip-version-check", f"{ROOT}[server]", *PEERS]
    subprocess.run([str(programs / "bin" / "python"), *line], check=True, env=variables)
    return Bench(programs / "bin", folder, counts, variables, _install_editor_peer(folder / EDITOR_PEER))


def at_hand(folder: Path, counts: Counts) -> Bench:
    """A bench with what stands beside the Python that runs this, and this checkout as it is."""
    variables = _environment() | {"PYTHONPATH": f"{ROOT / 'linter'}{os.pathsep}{ROOT / 'lsp'}"}
    return Bench(Path(sys.executable).parent, folder, counts, variables, None)


def _environment() -> dict[str, str]:
    """Our own without what changes how Python starts, such as PYTHONDONTWRITEBYTECODE."""
    return {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}


def _install_editor_peer(folder: Path) -> tuple[str, ...] | None:
    if shutil.which("npm") is None:
        return None
    folder.mkdir()
    line = ["npm", "install", "--silent", "--no-audit", "--no-fund", EDITOR_PEER]
    subprocess.run(line, cwd=folder, check=True, capture_output=True)
    return "node", str(folder / "node_modules" / ".bin" / EDITOR_PEER), "--stdio"


def _editor_peer_version(folder: Path) -> str:
    line = ["node", "-p", f"require('./node_modules/{EDITOR_PEER}/package.json').version"]
    return subprocess.run(line, cwd=folder, check=True, capture_output=True, text=True).stdout.strip()
