"""The invariants of the architecture that no other test holds: floors, what each must not know, no I/O below the line."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "linter" / "lampwright"
PURE = (
    "text.py",
    "harmless.py",
    "diagnostics.py",
    "syntax",
    "units",
    "plan",
    "model",
    "analysis",
    "rule",
    "rules",
    "engine",
    "comparing.py",
    "account",
    "render",
)
OPENS = {"open", "print", "input", "exec", "eval"}
REACHES_OUT = {"os", "io", "pathlib", "subprocess", "socket", "shutil", "tempfile", "urllib", "http", "sys"}
# The page of a rule is the docstring of its module, which only `sys.modules` knows.
# The C parser is had without the rest of ruamel.yaml, which takes a look at `sys.modules` as well.
# What is asked of urllib is how a URI is written.
MAY_IMPORT = {"rule/making.py": {"sys"}, "syntax/events.py": {"sys"}, "render/as_sarif.py": {"urllib"}}


def modules(*names: str) -> Iterator[Path]:
    for name in names:
        path = PACKAGE / name
        yield from [path] if path.is_file() else sorted(path.rglob("*.py"))


def test_import_contracts_hold() -> None:
    command = [
        sys.executable,
        "-c",
        "from importlinter.cli import lint_imports_command; lint_imports_command()",
        "--no-cache",
    ]
    result = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert result.returncode == 0, result.stdout + result.stderr


@pytest.mark.parametrize("path", list(modules(*PURE)), ids=lambda path: path.relative_to(PACKAGE).as_posix())
def test_nothing_below_the_line_reads_or_writes(path: Path) -> None:
    tree = ast.parse(path.read_text("utf-8"))
    allowed = MAY_IMPORT.get(path.relative_to(PACKAGE).as_posix(), set())
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            assert node.func.id not in OPENS, f"{path}:{node.lineno} calls {node.func.id}"
        names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
        names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
        for name in names:
            assert name.partition(".")[0] not in REACHES_OUT - allowed, f"{path}:{node.lineno} imports {name}"


def test_only_files_opens_files() -> None:
    for path in modules("cli", "settings.py", "render"):
        calls = [node for node in ast.walk(ast.parse(path.read_text("utf-8"))) if isinstance(node, ast.Call)]
        for call in calls:
            name = call.func.id if isinstance(call.func, ast.Name) else getattr(call.func, "attr", "")
            is_allowed = path.name == "__init__.py" and path.parent.name == "cli"
            assert is_allowed or name not in {"open", "read_text", "read_bytes", "write_text", "write_bytes"}


def run_python(code: str, **environment: str) -> str:
    command = [sys.executable, "-c", code]
    env = {**os.environ, "NO_COLOR": "1", **environment}
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True, env=env).stdout


def test_a_check_of_right_plans_imports_no_server_and_nothing_slow() -> None:
    code = (
        "import sys; from lampwright.cli import main; status = main(['check', 'examples/vehicles']);"
        "slow = {'pydantic', 'pint', 'jsonschema', 'asyncio', 'pygls', 'lsprotocol', 'lampwright_lsp', 'ruamel.yaml.main', 'difflib'};"
        "print(status, sorted(slow & set(sys.modules)), file=sys.stderr); sys.exit(0)"
    )
    command = [sys.executable, "-c", code]
    result = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
    assert result.stderr.strip() == "0 []", result.stdout


def test_the_version_needs_no_imports() -> None:
    code = (
        "import sys; before = set(sys.modules); from lampwright.cli import main; main(['--version']);"
        "print(*sorted(name for name in set(sys.modules) - before if not name.startswith('lampwright')))"
    )
    assert len(run_python(code).splitlines()[1].split()) <= 3


def test_output_does_not_depend_on_the_hash_seed_or_the_order_of_files() -> None:
    code = "import sys; from lampwright.cli import main; main(['check', '--format', 'json', *sys.argv[1:]])"
    paths = ["examples/mistakes", "examples/vehicles", "examples/decoders"]

    def output(seed: str, order: list[str]) -> str:
        env = {**os.environ, "PYTHONHASHSEED": seed}
        command = [sys.executable, "-c", code, *order]
        return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False, env=env).stdout

    assert output("1", paths) == output("2", paths[::-1]) != ""
