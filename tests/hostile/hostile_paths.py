"""References that leave the root or loop, devices, pipes, folders named like files, odd names, settings in conflict."""

from __future__ import annotations

import os
from pathlib import Path

from hostile_cases import SHEET_NAME, Case, link, plan, referring

from command import BURNING, PLAN, REFERRING, SHEET

LOST = "3:10 unreadable-file"


def outside() -> None:
    Path("../outside.decoder.yaml").write_text(SHEET, "utf-8")


def link_outside() -> None:
    outside()
    Path("link.decoder.yaml").symlink_to("../outside.decoder.yaml")


def ring() -> None:
    Path("one.decoder.yaml").symlink_to("two.decoder.yaml")
    Path("two.decoder.yaml").symlink_to("one.decoder.yaml")


def own_parent() -> None:
    Path("again").symlink_to(".")


def without_end() -> None:
    with Path("a.lights.yaml").open("wb") as file:
        file.truncate(1 << 40)


REFERENCES = {
    "far above the root": "../" * 40 + "etc/passwd.decoder.yaml",
    "absolute": "/etc/passwd.decoder.yaml",
    "a page": "http://127.0.0.1:9/x.decoder.yaml",
    "a page as file": "file:///etc/x.decoder.yaml",
    "of the home": "~/x.decoder.yaml",
    "of the environment": "$HOME/x.decoder.yaml",
    "of another system": "C:\\x.decoder.yaml",
    "of a share": "\\\\host\\x.decoder.yaml",
    "a command": "$(touch pwned).decoder.yaml",
    "a process": "/proc/self/environ",
    "all files": "'*.decoder.yaml'",
    "of 5,000 folders": "x/" * 5_000 + "x.decoder.yaml",
}
PATHS: dict[str, Case] = {
    **{f"a reference that is {name}": referring(path, LOST) for name, path in REFERENCES.items()},
    "a reference to what is outside": referring("../outside.decoder.yaml", LOST, make=outside),
    "a reference by a link to what is outside": referring("link.decoder.yaml", LOST, make=link_outside),
    "a reference round a ring of links": referring(
        "one.decoder.yaml",
        LOST,
        make=ring,
        complaint="lampwright: one.decoder.yaml: too many levels of symbolic links\nlampwright: two.decoder.yaml: too many levels of symbolic links\n",
    ),
    "a reference to itself": referring("a.lights.yaml", LOST),
    "a reference up and down again": referring("x/../bench-six.decoder.yaml"),
    "a reference by a folder in itself": referring("again/" * 30 + SHEET_NAME, make=own_parent),
    "a reference to a folder": referring("f.decoder.yaml", LOST, make=lambda: Path("f.decoder.yaml").mkdir()),
    "a reference to a device": referring(
        "d.decoder.yaml",
        LOST,
        make=link("d.decoder.yaml", "/dev/urandom"),
        complaint="lampwright: d.decoder.yaml: it is no regular file\n",
    ),
    "a reference to a pipe": referring(
        "p.decoder.yaml",
        LOST,
        make=lambda: os.mkfifo("p.decoder.yaml"),
        complaint="lampwright: p.decoder.yaml: it is no regular file\n",
    ),
    "2,000 catalogues that are not there": plan(
        PLAN.replace("outputs:\n", f"parts: [{', '.join(f'x{n}.parts.yaml' for n in range(2_000))}]\noutputs:\n"),
        *(f"6:{9 + 15 * n} unreadable-file" for n in range(4)),
        total=101,
        seconds=5,
    ),
    "a sheet of 3 MB": Case(
        {"a.lights.yaml": REFERRING, SHEET_NAME: SHEET + "#\n" * 1_500_000},
        ("3:10 unreadable-file", "bench-six.decoder.yaml:1:1 unreadable-file"),
    ),
    # Named on the command line.
    "nothing as a name": Case(
        {"a.lights.yaml": PLAN}, arguments=("",), complaint="lampwright: .: an empty path names no file\n"
    ),
    "a device": Case(arguments=("/dev/zero",), complaint="lampwright: /dev/zero: it is no regular file\n"),
    "a device by a link": Case(
        make=link("a.lights.yaml", "/dev/urandom"),
        arguments=("a.lights.yaml",),
        complaint="lampwright: a.lights.yaml: it is no regular file\n",
    ),
    "a console": Case(arguments=("/dev/tty",), complaint="lampwright: /dev/tty: it is no regular file\n"),
    "a pipe among plans": Case(
        {"b.lights.yaml": BURNING},
        make=lambda: os.mkfifo("a.lights.yaml"),
        complaint="lampwright: a.lights.yaml: it is no regular file\n",
        found=("b.lights.yaml:7:21 unprotected-led",),
    ),
    "a file of a terabyte": Case(make=without_end, found=("1:1 unreadable-file",)),
    "a path of 5,000 characters": Case(
        arguments=("x/" * 2_500 + "a.lights.yaml",),
        complaint=f"lampwright: {'x/' * 2_500}a.lights.yaml: file name too long\n",
    ),
    "a name of 255 bytes": Case(
        {f"{'x' * 242}.lights.yaml": BURNING},
        (
            "xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx.lights.yaml:7:21 unprotected-led",
        ),
    ),
    "a name in no encoding": Case(
        make=lambda: Path(os.fsdecode(b"\xff\xfe.lights.yaml")).write_text(BURNING),
        found=("\udcff\udcfe.lights.yaml:7:21 unprotected-led",),
    ),
    "a name of options": Case({"--help.lights.yaml": BURNING}, ("--help.lights.yaml:7:21 unprotected-led",)),
    "a name that is a line": Case(
        {"a\n::error::b.lights.yaml": BURNING}, ("a\n::error::b.lights.yaml:7:21 unprotected-led",)
    ),
    "a folder named like a plan": Case(
        {"a.lights.yaml/b.lights.yaml": BURNING},
        ("a.lights.yaml/b.lights.yaml:7:21 unprotected-led",),
        arguments=("a.lights.yaml",),
    ),
    "a folder named like settings": Case(
        {"lampwright.yaml/x": "", "a.lights.yaml": BURNING}, ("7:21 unprotected-led",)
    ),
    "a folder that leads into itself": Case({"a.lights.yaml": BURNING}, ("7:21 unprotected-led",), make=own_parent),
    "100 folders deep": Case(
        {"d/" * 100 + "a.lights.yaml": BURNING},
        (
            "d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/d/a.lights.yaml:7:21 unprotected-led",
        ),
    ),
    "the same file 500 times": Case(
        {"a.lights.yaml": BURNING}, ("7:21 unprotected-led",), arguments=("a.lights.yaml",) * 500
    ),
    "standard input of 100 MB": Case(
        stdin=lambda: "#" * 100_000_000, arguments=("-",), found=("standard-input.lights.yaml:1:1 unreadable-file",)
    ),
    "standard input without a text": Case(
        stdin=b"\0\xff" * 1_000, arguments=("-",), found=("standard-input.lights.yaml:1:1 unsupported-yaml",)
    ),
    # Settings.
    "settings that exclude all": Case(
        {"lampwright.yaml": "exclude: ['**']\n", "a.lights.yaml": BURNING},
        complaint="lampwright: .: it holds no lighting plan, decoder sheet, parts catalogue or settings file\n",
    ),
    "settings in conflict": Case(
        {
            "lampwright.yaml": "lampwright: 1\nlevels: {unprotected-led: ignore}\n",
            "x/lampwright.yaml": "lampwright: 1\nlevels: {unprotected-led: error}\n",
            "x/a.lights.yaml": BURNING,
            "a.lights.yaml": BURNING,
        },
        ("x/a.lights.yaml:7:21 unprotected-led",),
    ),
    "settings that conflict with themselves": Case(
        {"lampwright.yaml": "levels: {unprotected-led: ignore, unprotected-led: error}\n", "a.lights.yaml": BURNING},
        ("lampwright.yaml:1:35 duplicate-key",),
    ),
    "settings of many stars": Case(
        {"lampwright.yaml": f"exclude: ['{'**/a*' * 40}b']\n", f"{'a' * 200}.lights.yaml": PLAN}
    ),
    "settings with 5,000 patterns": Case(
        {"lampwright.yaml": f"exclude: [{''.join(f'x{n}*y, ' for n in range(5_000))}]", "a.lights.yaml": PLAN},
        seconds=5,
    ),
    "settings with a bad pattern": Case(
        {"lampwright.yaml": "exclude: ['[', '!', '\\']\n", "a.lights.yaml": PLAN},
        ("lampwright.yaml:1:11 wrong-shape", "lampwright.yaml:1:16 wrong-shape", "lampwright.yaml:1:21 wrong-shape"),
    ),
    "settings that leave the root": Case(
        {"lampwright.yaml": "exclude: ['../../**']\n", "a.lights.yaml": BURNING},
        ("7:21 unprotected-led", "lampwright.yaml:1:11 wrong-shape"),
    ),
    "settings in a pipe": Case(
        {"a.lights.yaml": PLAN},
        make=lambda: os.mkfifo("lampwright.yaml"),
        complaint="lampwright: lampwright.yaml: it is no regular file\n",
    ),
    "settings of a bomb": Case(
        {"lampwright.yaml": "levels: &a {x: *a}\n", "a.lights.yaml": PLAN},
        (
            "lampwright.yaml:1:9 unsupported-yaml",
            "lampwright.yaml:1:13 unknown-name",
            "lampwright.yaml:1:16 unsupported-yaml",
        ),
    ),
    "settings beyond measure": Case(
        {"lampwright.yaml": "margins: {lamp-current: -1e9 %}\nsupply: {track: 1e300 V}\n", "a.lights.yaml": PLAN},
        ("lampwright.yaml:1:25 unreadable-quantity", "lampwright.yaml:2:17 unreadable-quantity"),
    ),
}
