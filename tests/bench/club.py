"""A large club for measurements: the example club's plans over and over, written out a thing a line, 100 lines each."""

from __future__ import annotations

import io
import shutil
from pathlib import Path
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedBase

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
LINES = 100
SHARED = ("club.parts.yaml", "lampwright.yaml", "decoders")
ADDRESSES = range(1000, 10_000)
"""Long addresses; a vehicle with a short one keeps it."""


def make_club(folder: Path, count: int, lines: int = LINES) -> list[Path]:
    """Write `count` plans into `folder`, with the sheets, catalogue and settings of the example club; their paths.

    Each has the meaning of one example, but a name and an address of its own, and is filled up to `lines` lines with
    remarks. Plans are spread over folders of fifty, as a club would sort them.
    """
    for name in SHARED:
        source = EXAMPLES / name
        (shutil.copytree if source.is_dir() else shutil.copy)(source, folder / name)
    examples = [_spread(path) for path in sorted((EXAMPLES / "vehicles").glob("*.lights.yaml"))]
    return [_write(folder, examples[number % len(examples)], number, lines) for number in range(count)]


def _spread(path: Path) -> tuple[str, Any]:
    """An example in block style: a thing a line."""
    reader = YAML()
    reader.width = 200
    plan = reader.load(path.read_text("utf-8"))
    _unfold(plan)
    return path.name.removesuffix(".lights.yaml"), plan


def _unfold(node: object) -> None:
    if isinstance(node, CommentedBase):
        node.fa.set_block_style()
    for child in node.values() if isinstance(node, dict) else node if isinstance(node, list) else ():
        _unfold(child)


def _write(folder: Path, example: tuple[str, Any], number: int, lines: int) -> Path:
    name, plan = example
    plan["vehicle"]["name"] = f"{plan['vehicle']['name'].split(', no. ')[0]}, no. {number}"
    address = plan["vehicle"].get("address")
    if isinstance(address, int) and address in ADDRESSES:
        plan["vehicle"]["address"] = ADDRESSES[number % len(ADDRESSES)]
    path = folder / f"vehicles-{number // 50}" / f"{name}-{number}.lights.yaml"
    path.parent.mkdir(exist_ok=True)
    writer = YAML()
    writer.width = 200
    written = io.StringIO()
    writer.dump(plan, written)
    text = written.getvalue()
    missing = max(0, lines - text.count("\n"))
    remarks = "".join(f"# Remark {place} of the member who fitted the lights.\n" for place in range(missing))
    path.write_text(remarks + text, "utf-8")
    return path
