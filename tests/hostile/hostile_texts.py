"""Texts that are made to break a reader of YAML: bombs, depths, encodings, characters, tags, many documents."""

from __future__ import annotations

import gzip

from hostile_cases import Case, added, changed, plan

from command import PLAN

BOMB = "a: &a [x, x, x, x, x, x, x, x, x]\n" + "".join(
    f"{here}: &{here} [{', '.join([f'*{before}'] * 9)}]\n"
    for before, here in zip("abcdefghijk", "bcdefghijkl", strict=True)
)


def unlimited(megabytes: int) -> str:
    return f"{PLAN}# {'x' * 62}\n" + f"#{'x' * 62}\n" * (megabytes << 14)


def named(text: str | bytes) -> bytes:
    """The plan with another name of the vehicle, which begins at 1:17."""
    data = text if isinstance(text, bytes) else text.encode("utf-8", "surrogatepass")
    return PLAN.encode().replace(b"Quarry", data)


CONTROLS = {
    0x01: "SOH",
    0x07: "bell",
    0x08: "backspace",
    0x0B: "VT",
    0x0C: "form feed",
    0x1B: "escape",
    0x1F: "US",
    0x7F: "DEL",
    0x9B: "CSI",
}
BYTES = {
    "overlong": b"\xc0\xaf",
    "a surrogate pair in UTF-8": b"\xed\xa0\xbd\xed\xba\x86",
    "beyond Unicode": b"\xf4\x90\x80\x80",
    "five bytes": b"\xf8\x88\x80\x80\x80",
    "a tail without a head": b"\x80",
    "Shift JIS": "\u8eca\u4e21".encode("shift_jis"),
    "code page 437": "L\u00fcfter".encode("cp437"),
    "the euro of Windows": b"\x80uro",
}
TEXTS: dict[str, Case] = {
    # Aliases, anchors, merge keys.
    "an alias bomb": plan(BOMB, "1:1 missing-key", "1:1 missing-key", "1:1 missing-key", "1:1 missing-key", total=118),
    "an alias bomb in a merge key": added(
        "x: &x {a: 1}\ny: {<<: [*x, *x, *x, *x]}",
        "10:1 unknown-key",
        "10:4 unsupported-yaml",
        "11:1 unknown-key",
        "11:5 unsupported-yaml",
    ),
    "a mapping in itself": added(
        "x: &x {y: *x}", "10:1 unknown-key", "10:4 unsupported-yaml", "10:11 unsupported-yaml"
    ),
    "a mapping as its own key": added("? &x {*x : 1}\n: 1", "10:6 unsupported-yaml"),
    "an alias of nothing": added("x: *nowhere", "10:1 unknown-key", "10:4 unsupported-yaml"),
    "an anchor given twice": added(
        "x: &x 1\ny: &x 2\nz: *x",
        "10:1 unknown-key",
        "10:4 unsupported-yaml",
        "11:1 unknown-key",
        "11:4 unsupported-yaml",
        total=6,
    ),
    "10,000 anchors": added(
        "".join(f"&a{number} k{number}: 1\n" for number in range(10_000)),
        "10:1 unsupported-yaml",
        "10:5 unknown-key",
        "11:1 unsupported-yaml",
        "11:5 unknown-key",
        total=202,
        seconds=5,
    ),
    "a merge key of a number": added("<<: 7", "10:1 unsupported-yaml"),
    "a merge key among lamps": changed("lamps:\n", "lamps:\n  <<: &l {}\n", "5:3 unsupported-yaml"),
    # Depth and width.
    "900 brackets": added(f"x: {'[' * 900}{']' * 900}", "10:103 unreadable-file"),
    "5,000 brackets": added(f"x: {'[' * 5_000}{']' * 5_000}", "10:103 unreadable-file"),
    "100 parallels in each other": changed(
        "front headlamp]}", f"{'{parallel: [[' * 100}front headlamp{']]}' * 100}]}}", "7:453 unreadable-file", seconds=5
    ),
    "5,000 brackets in a condition": changed(
        "when: forward", f"when: '{'(' * 5_000}forward{')' * 5_000}'", "9:59 unknown-name", seconds=5
    ),
    "5,000 times not": changed("when: forward", f"when: {'not ' * 5_000}forward", "9:59 unknown-name", seconds=5),
    "5,000 times and": changed(
        "when: forward", f"when: forward{' and forward' * 5_000}", "9:59 unknown-name", seconds=5
    ),
    "5,000 keys in a condition": changed(
        "when: forward", f"when: {' or '.join(f'F{number}' for number in range(5_000))}", "9:59 unknown-name", seconds=5
    ),
    "a million keys": plan(lambda: "".join(f"k{number}: 1\n" for number in range(1_000_000)), "1:1 unreadable-file"),
    "100 MB of comments": plan(lambda: unlimited(100), "1:1 unreadable-file"),
    "1.9 MB of comments": plan(f"{PLAN}" + f"#{'x' * 62}\n" * 30_000, seconds=5),
    "one line of a million characters": added(f"# {'x' * 1_000_000}", seconds=5),
    "a million spaces before a word": added(f"{' ' * 1_000_000}x", "10:1 syntax-error", seconds=5),
    # Encodings.
    "UTF-32, little end first": plan(PLAN.encode("utf-32-le"), "1:1 unsupported-yaml"),
    "UTF-32, big end first": plan(PLAN.encode("utf-32-be"), "1:1 unsupported-yaml"),
    "UTF-32 with a mark": plan(PLAN.encode("utf-32"), "1:1 unsupported-yaml"),
    "UTF-7": plan(named("+ACI-")),
    "EBCDIC": plan(PLAN.encode("cp037"), "1:1 unsupported-yaml"),
    "compressed": plan(gzip.compress(PLAN.encode(), mtime=0), "1:2 unsupported-yaml"),
    **{
        f"a name with {name}": plan(named(data), f"1:{18 if data[:1] == b'L' else 17} unsupported-yaml")
        for name, data in BYTES.items()
    },
    # Characters.
    **{f"a name with {name}": plan(named(chr(code)), "1:17 syntax-error") for code, name in CONTROLS.items()},
    "a name with a byte order mark": plan(named("\ufeff"), "1:17 syntax-error"),
    "a name with no character": plan(named("\ufffe"), "1:17 syntax-error"),
    "a name that is turned round": plan(named("\u202e")),
    "NEL as line end": plan(PLAN.replace("\n", "\x85"), "1:10 syntax-error"),
    "LS as line end": plan(PLAN.replace("\n", "\u2028"), "1:10 syntax-error"),
    "tabs as indentation": plan(PLAN.replace("  ", "\t"), "5:1 syntax-error"),
    # Tags and directives.
    "a tag that calls": added(
        "x: !!python/object/apply:os.system ['touch pwned']", "10:1 unknown-key", "10:4 unsupported-yaml"
    ),
    "a tag that makes an object": added(
        "x: !!python/object/new:os.system {}", "10:1 unknown-key", "10:4 unsupported-yaml"
    ),
    "a tag of bytes": added("x: !!binary aGFsbG8=", "10:1 unknown-key", "10:4 unsupported-yaml"),
    "a tag of a set": added("x: !!set {a, b}", "10:1 unknown-key", "10:4 unsupported-yaml"),
    "a tag of our own": added("x: !lamp 7", "10:1 unknown-key", "10:4 unsupported-yaml"),
    "a tag of a text": changed("14.5 V", "!!str 14.5 V", "2:17 unsupported-yaml"),
    "a tag of a number": changed("14.5 V", "!!float 14.5", "2:17 unsupported-yaml", "2:25 missing-unit"),
    "a tag that names a page": added("x: !<http://a.example/x> 7", "10:1 unknown-key", "10:4 unsupported-yaml"),
    "a directive that renames tags": plan(f"%TAG !! tag:a.example,2000:\n---\n{PLAN}", "1:1 unsupported-yaml"),
    "a directive of a version to come": plan(f"%YAML 3.0\n---\n{PLAN}", "1:1 unsupported-yaml"),
    "a directive that nobody knows": plan(f"%RUN rm -rf /\n---\n{PLAN}", "1:1 unsupported-yaml"),
    "a key of 1,100 characters": added(f"{'x' * 1_100}: 1", "10:1 syntax-error"),
    # Documents.
    "two documents": added("---\nx: 1", "10:1 unsupported-yaml"),
    "two plans in one file": added(f"---\n{PLAN}", "10:1 unsupported-yaml"),
    "10,000 documents": plan(
        "--- {}\n" * 10_000,
        "1:5 missing-key",
        "1:5 missing-key",
        "1:5 missing-key",
        "1:5 missing-key",
        total=6,
        seconds=5,
    ),
    "10,000 ends": added("...\n" * 10_000, seconds=5),
    "an end in the middle": plan(
        PLAN.replace("\noutputs:", "\n...\noutputs:"), "1:1 missing-key", "1:1 missing-key", "7:1 unsupported-yaml"
    ),
    "a sign of a merge": plan(PLAN.replace("supply:", "<<<<<<< HEAD\nsupply:"), "2:1 syntax-error"),
}
