"""Large things to measure: the example club's plans over and over, written out a thing a line; and plans of any length."""

from __future__ import annotations

import io
import shutil
from pathlib import Path

from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedBase

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = ROOT / "examples"
LINES = 100
SHARED = ("club.parts.yaml", "lampwright.yaml", "decoders")
ADDRESSES = range(1000, 10_000)
"""Long addresses; a vehicle with a short one keeps it."""
_NUMBER, _ADDRESS = 770_000_001, 770_000_002
"""Stand in a spread example where each of its copies has its own."""


def make_club(folder: Path, count: int, lines: int = LINES) -> list[Path]:
    """Write `count` plans into `folder`, with the sheets, catalogue and settings of the example club; their paths.

    Each has the meaning of one example, but a name and an address of its own, and is filled up to `lines` lines with
    remarks. Plans are spread over folders of fifty, as a club would sort them.
    """
    for name in SHARED:
        source = EXAMPLES / name
        (shutil.copytree if source.is_dir() else shutil.copy)(source, folder / name)
    examples = [_spread(path) for path in sorted((EXAMPLES / "vehicles").glob("*.lights.yaml"))]
    return [_write(folder, *examples[number % len(examples)], number, lines) for number in range(count)]


def _spread(path: Path) -> tuple[str, str]:
    """The name of an example, and its text in block style, a thing a line, with marks where each copy differs."""
    writer = YAML()
    writer.width = 200
    plan = writer.load(path.read_text("utf-8"))
    _unfold(plan)
    vehicle = plan["vehicle"]
    vehicle["name"] = f"{vehicle['name']}, no. {_NUMBER}"
    address = vehicle.get("address")
    if isinstance(address, int) and address in ADDRESSES:
        vehicle["address"] = _ADDRESS
    written = io.StringIO()
    writer.dump(plan, written)
    return path.name.removesuffix(".lights.yaml"), written.getvalue()


def _unfold(node: object) -> None:
    if isinstance(node, CommentedBase):
        node.fa.set_block_style()
    for child in node.values() if isinstance(node, dict) else node if isinstance(node, list) else ():
        _unfold(child)


def _write(folder: Path, name: str, example: str, number: int, lines: int) -> Path:
    path = folder / f"vehicles-{number // 50}" / f"{name}-{number}.lights.yaml"
    path.parent.mkdir(exist_ok=True)
    text = example.replace(str(_NUMBER), str(number))
    text = text.replace(str(_ADDRESS), str(ADDRESSES[number % len(ADDRESSES)]))
    missing = max(0, lines - text.count("\n"))
    remarks = "".join(f"# Remark {place} of the member who fitted the lights.\n" for place in range(missing))
    path.write_text(remarks + text, "utf-8")
    return path


def make_long_plan(club: Path, lines: int) -> Path:
    """A plan of about `lines` lines in block style, with as many outputs, lamps and keys as that makes; its path.

    No lamp is like another, so that none is computed for the other.
    """
    outputs = max(4, lines // 13)
    text = [
        f"# yaml-language-server: $schema={(ROOT / 'schemas' / 'lighting-plan.schema.json').as_uri()}",
        "lighting-plan: 1",
        "vehicle: {name: The long one, scale: HO, address: 2112, shell: plastic}",
        "supply: {track: 14.5 V}",
        f"decoder: long-{lines}.decoder.yaml",
        "lamps:",
    ]
    for number in range(outputs):
        text += [
            f"  lamp {number}:",
            f"    led: {{forward-voltage: {2.8 + number / 10_000:.4f} V to 3.2 V, current: 8 mA, maximum-current: 20 mA}}",
        ]
    text.append("outputs:")
    for number in range(outputs):
        text += [f"  aux{number + 1}:", "    circuit:", "    - 1.2 kohm 1/4 W", f"    - lamp {number}"]
    text.append("keys:")
    share = -(-outputs // 20)
    for key in range(20):
        mine = range(key * share, min(outputs, (key + 1) * share))
        if mine:
            text += [f"  F{key}:", f"    label: Key {key}", "    turns-on:"]
        for number in mine:
            text += [f"    - output: aux{number + 1}", f"      when: {'forward' if number % 2 else 'reverse'}"]
    text += [f"# Remark {number}." for number in range(lines - len(text))]
    sheet = [
        "decoder-sheet: 1",
        "name: The long sheet",
        "common: {drop: 1.4 V}",
        "limits: {outputs-together: 50 A, whole-decoder: 60 A}",
        "outputs:",
        *(f"  aux{number + 1}: {{number: {number + 1}, limit: 100 mA}}" for number in range(outputs)),
        "keys: {highest: 28}",
    ]
    (club / f"long-{lines}.decoder.yaml").write_text("\n".join(sheet) + "\n", "utf-8")
    path = club / f"long-{lines}.lights.yaml"
    path.write_text("\n".join(text) + "\n", "utf-8")
    return path
