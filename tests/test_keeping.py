"""What is kept between runs saves work and changes nothing: whatever changed meanwhile, whatever lies in the cache."""

from __future__ import annotations

import json
import os
import random
import shutil
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from command import BURNING, PLAN, REFERRING, SHEET, Command, Outcome, lay, started
from lampwright import comparing
from lampwright.account.keeping import kept, recalled
from lampwright.cli import recalling, recalling_fleet
from lampwright.cli.reporting import FORMATS
from lampwright.diagnostics import Finding, Report
from lampwright.files.keeping import digest_of
from lampwright.fleet import Fleet
from lampwright.text import Source
from repository import start

EXAMPLES = Path(__file__).parents[1] / "examples"
RUNS = int(os.environ.get("LAMPWRIGHT_EXAMPLES", "450"))
SHEET_NAME = "bench-six.decoder.yaml"
EUR = "\u20ac"

# --- A second run -----------------------------------------------------------------------------------------------------


@pytest.fixture
def checked(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The files that were really checked."""
    names: list[str] = []
    watch = recalling.Memory.watch

    def noting(self: recalling.Memory, source: Source, check: recalling.Checker) -> Report:
        names.append(source.name)
        return watch(self, source, check)

    monkeypatch.setattr(recalling.Memory, "watch", noting)
    return names


@pytest.fixture(autouse=True)
def every_fleet_is_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is found among few plans, too, so that all that happens here happens to it."""
    monkeypatch.setattr(recalling_fleet, "ENOUGH", 1)


def same(command: Command, *arguments: str, stdin: bytes = b"") -> Outcome:
    """What a check says, which is what it says without a cache."""
    outcome = command("check", *arguments, stdin=stdin)
    assert outcome == command("check", "--no-cache", *arguments, stdin=stdin)
    return outcome


def test_a_second_run_prints_the_same_in_every_form_and_checks_nothing(
    command: Command, checked: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(EXAMPLES.parent)
    # What other processes check is not counted here.
    monkeypatch.setattr("lampwright.cli.crew._processors", lambda: 1)
    command("check", "examples")
    assert len(checked) > 80
    for form in FORMATS:
        checked.clear()
        outcome = command("check", "--format", form, "examples")
        assert checked == []
        assert outcome == command("check", "--no-cache", "--format", form, "examples")


def test_what_has_changed_is_checked_and_nothing_else(command: Command, checked: list[str]) -> None:
    lay({"a.lights.yaml": REFERRING, "b.lights.yaml": PLAN, SHEET_NAME: SHEET})
    command("check")
    checked.clear()
    lay({"b.lights.yaml": BURNING})
    assert same(command, "--format", "json").burning == ["b.lights.yaml"]
    assert checked[:1] == ["b.lights.yaml"]
    assert command("check", "a.lights.yaml").status == 0
    assert len(checked) == 1 + 3
    checked.clear()
    lay({SHEET_NAME: SHEET + "\n"})
    command("check")
    assert checked == ["a.lights.yaml", SHEET_NAME]


def test_a_fault_of_ours_is_not_kept(command: Command, checked: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    lay({"a.lights.yaml": PLAN})
    with monkeypatch.context() as broken:
        broken.setattr("lampwright.engine._assemble", lambda *_: 1 / 0)
        assert command("check").status == 2
    assert same(command).status == 0
    assert checked == ["a.lights.yaml"] * 3


def test_no_cache_keeps_nothing(command: Command, own_cache: Path) -> None:
    lay({"a.lights.yaml": PLAN})
    command("check", "--no-cache")
    assert not own_cache.exists()


LOADED = """
import sys
from lampwright.cli import main
status = main(sys.argv[1:])
print(*sorted(sys.modules), file=sys.stderr)
"""


READERS = {"pydantic", "ruamel", "lampwright.engine", "lampwright.rules", "lampwright.plan", "lampwright.syntax"}
SLOW = {"dataclasses", "inspect", "typing", "multiprocessing", "sqlite3"}


# What tells whether a pattern of `exclude` fits needs some of the slow ones itself.
@pytest.mark.parametrize(("settings", "heavy"), [("", READERS | SLOW), ("exclude: [attic/]\n", READERS)])
def test_a_recalled_run_loads_next_to_nothing(tmp_path: Path, settings: str, heavy: set[str]) -> None:
    lay({"lampwright.yaml": f"lampwright: 1\n{settings}", "a.lights.yaml": REFERRING, SHEET_NAME: SHEET}, tmp_path)
    lay({"b.lights.yaml": BURNING, "attic/c.lights.yaml": PLAN}, tmp_path)

    def run(*more: str) -> tuple[bytes, set[str]]:
        done = started("check", *more, cwd=tmp_path, start=["-c", LOADED])
        return done.stdout, set(done.stderr.decode().split())

    cold, loaded = run()
    assert {"lampwright.engine", "lampwright.rules", "ruamel.yaml"} <= loaded
    assert b"b.lights.yaml" in cold
    assert run()[0] == cold
    # The form for code scanning describes the rules, and so it reads them.
    for form in set(FORMATS) - {"sarif"}:
        _, loaded = run("--format", form)
        assert (form, loaded & heavy) == (form, set())


def test_what_is_recalled_is_compared_without_the_rules_of_single_plans(tmp_path: Path) -> None:
    plans = {name: PLAN.replace("{name: ", "{address: 5, name: ") for name in ("a.lights.yaml", "b.lights.yaml")}
    lay(plans, tmp_path)
    done = started("check", cwd=tmp_path, start=["-c", LOADED])
    assert done.stdout.count(b"[shared-address]") == 2
    again = started("check", cwd=tmp_path, start=["-c", LOADED])
    assert again.stdout == done.stdout
    heavy = READERS - {"lampwright.rules"} | {"lampwright.rules.table", "lampwright.analysis", "lampwright.model"}
    assert set(again.stderr.decode().split()) & heavy == set()


def test_what_was_found_among_plans_is_compared_once(
    command: Command, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    lay({f"{name}.lights.yaml": ADDRESSED for name in ("a", "b", "c")})
    compared: list[int] = []
    judge = comparing.judged

    def noting(fleet: Fleet) -> Iterator[Finding]:
        compared.append(len(fleet.cards))
        return judge(fleet)

    monkeypatch.setattr(comparing, "judged", noting)
    before = command("check")
    assert before.out.count("[shared-address]") == 3
    assert command("check") == before
    assert compared == [3]
    # Another name is another message; a plan that is gone shares nothing.
    (tmp_path / "c.lights.yaml").rename(tmp_path / "d.lights.yaml")
    assert "d.lights.yaml" in same(command).out
    (tmp_path / "a.lights.yaml").unlink()
    assert same(command).out.count("[shared-address]") == 2
    lay({"d.lights.yaml": PLAN})
    assert "[shared-address]" not in same(command).out


def test_a_run_over_part_of_the_plans_takes_nothing_from_one_over_all(command: Command) -> None:
    lay({f"{name}/x.lights.yaml": ADDRESSED for name in ("a", "b", "c")})
    for paths, count in (([], 3), (["a", "b"], 2), (["a"], 0), ([], 3)):
        assert same(command, *paths).out.count("[shared-address]") == count


# --- What a check sees ------------------------------------------------------------------------------------------------


def test_a_sheet_that_was_missing_is_looked_for_again(command: Command) -> None:
    lay({"a.lights.yaml": REFERRING})
    assert "unreadable-file" in same(command).out
    lay({SHEET_NAME: SHEET})
    assert same(command).status == 0
    Path(SHEET_NAME).rename("elsewhere.decoder.yaml")
    assert "unreadable-file" in same(command, "a.lights.yaml").out


def test_a_root_that_comes_nearer_shuts_a_sheet_out(command: Command) -> None:
    lay({"club/a.lights.yaml": REFERRING.replace(SHEET_NAME, f"../{SHEET_NAME}"), SHEET_NAME: SHEET})
    assert same(command, "club").status == 0
    Path("club/.git").mkdir()
    assert same(command, "club").status == 1
    Path("club/.git").rmdir()
    lay({"club/lampwright.yaml": "lampwright: 1\n"})
    assert same(command, "club").status == 1


def test_settings_that_look_the_same_in_another_encoding(command: Command) -> None:
    text = f"lampwright: 1\n# \u00e9{chr(0xC3)}\nlevels: {{unprotected-led: warning}}\n"
    for data in (text.encode("latin-1"), text.encode(), text.encode("utf-16"), text.encode("utf-8-sig"), text.encode()):
        lay({"lampwright.yaml": data, "a.lights.yaml": BURNING})
        same(command)
        same(command, "a.lights.yaml")


def test_a_link_gives_a_file_another_kind(command: Command) -> None:
    lay({"a.lights.yaml": SHEET})
    Path("link.decoder.yaml").symlink_to("a.lights.yaml")
    sheet = same(command, "link.decoder.yaml").out
    plan = same(command, "a.lights.yaml").out
    assert sheet.replace("link.decoder.yaml", "a.lights.yaml") != plan
    assert same(command, "link.decoder.yaml").out == sheet


def test_a_sheet_with_two_names_has_the_same_one_whoever_is_checked_first(command: Command) -> None:
    faulty = SHEET.replace("100 mA", "100 ma")
    lay({"real.decoder.yaml": faulty, "fleet/a.lights.yaml": REFERRING.replace(SHEET_NAME, "../link.decoder.yaml")})
    lay({"fleet/b.lights.yaml": REFERRING.replace(SHEET_NAME, "../real.decoder.yaml"), ".git/HEAD": ""})
    Path("link.decoder.yaml").symlink_to("real.decoder.yaml")
    same(command, "fleet")
    lay({"fleet/a.lights.yaml": Path("fleet/a.lights.yaml").read_bytes() + b"\n"})
    same(command, "fleet")
    same(command, "fleet", ".")
    lay({"fleet/b.lights.yaml": Path("fleet/b.lights.yaml").read_bytes() + b"\n"})
    same(command, "fleet", ".")


def test_names_in_a_report_are_those_of_now(command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    lay({"club/a.lights.yaml": BURNING})
    assert same(command, "--format", "json").burning == ["club/a.lights.yaml"]
    monkeypatch.chdir("club")
    assert same(command, "--format", "json").burning == ["a.lights.yaml"]


def test_another_library_makes_all_that_is_known_void(
    command: Command, checked: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    lay({"a.lights.yaml": PLAN, "libraries/ruamel/yaml/__init__.py": ""})
    command("check")
    monkeypatch.syspath_prepend(str(Path("libraries").absolute()))
    command("check")
    command("check")
    assert checked == ["a.lights.yaml"] * 2


@pytest.mark.parametrize("text", ['"\\uD83D\\uDE00"', '"\\uD83D"', "\U0001f600", "a\u2028b", '"\\0"'])
def test_odd_characters_come_back_as_they_were(command: Command, text: str) -> None:
    lay({"a.lights.yaml": BURNING.replace("front headlamp", text).replace("Headlamps", text)})
    for form in ("json", "text"):
        same(command, "--format", form)
        same(command, "--format", form)


PATHS = [
    "lampwright.yaml",
    "club.parts.yaml",
    SHEET_NAME,
    "other.decoder.yaml",
    "fleet/lampwright.yaml",
    "fleet/a.lights.yaml",
    "fleet/b.lights.yaml",
    "fleet/yard/c.lights.yaml",
    f"fleet/{SHEET_NAME}",
    "d.lights.yaml",
]
PARTS = "lamps:\n  front headlamp: {led: {forward-voltage: 3.0 V, current: 7 mA, maximum-current: %s}}\n"
ADDRESSED = PLAN.replace("{name: ", "{address: 5, name: ")
TAKING = ADDRESSED.replace(PLAN[PLAN.index("lamps:\n") : PLAN.index("outputs:\n")], "parts: ../club.parts.yaml\n")
CONTENTS = {
    "lampwright.yaml": [
        "lampwright: 1\n",
        "lampwright: 1\nsupply: {track: 22 V}\n",
        "exclude: [yard/]\n",
        "exclude: ['*.decoder.yaml', a.lights.yaml]\nlevels: {unprotected-led: note}\n",
        "levels: {unprotected-led: ignore, unknown-rule: error}\nmargins: {lamp-current: 20 %}\n",
        "exclude: {}\n",
        f"# {EUR}\nlampwright: [\n",
    ],
    ".parts.yaml": [
        PARTS % "20 mA",
        *[PARTS.replace("}}\n", "}, stock: 1}\n") % "20 mA"] * 3,
        PARTS % "7 ma",
        "lamps: {}\n",
    ],
    ".decoder.yaml": [SHEET, SHEET.replace("100 mA", "5 mA"), SHEET.replace("100 mA", "100 ma"), f"# {EUR}\n{SHEET}"],
    ".lights.yaml": [
        PLAN,
        *[ADDRESSED, TAKING] * 3,
        BURNING,
        f"# {EUR}\n{BURNING}",
        REFERRING,
        *[REFERRING.replace(SHEET_NAME, f"../{SHEET_NAME}")] * 4,
        REFERRING.replace(SHEET_NAME, "../other.decoder.yaml"),
        REFERRING.replace(SHEET_NAME, "other.decoder.yaml").replace(
            "[1.5 kohm 1/4 W, front headlamp]", "[front headlamp]"
        ),
        BURNING.replace("supply: {track: 14.5 V}\n", "parts: [../club.parts.yaml, club.parts.yaml]\n"),
        BURNING.replace("  white: {", "  # lampwright: allow unprotected-led -- it glows in the sheet\n  white: {"),
    ],
}


def content(chance: random.Random, path: str) -> bytes:
    text = chance.choice(next(texts for end, texts in CONTENTS.items() if path.endswith(end)))
    encoding = chance.choices(["utf-8", "utf-8-sig", "cp1252", "utf-16"], [12, 2, 1, 1])[0]
    return text.encode(encoding)


def change(chance: random.Random) -> None:
    """One thing in the club is another one from now on."""
    path = Path(chance.choice(PATHS))
    kind = chance.choice(["write"] * 5 + ["delete", "rename", "link", "folder", ".git"])
    if kind == ".git":
        git = Path(chance.choice(["", "fleet", "fleet/yard"]), ".git")
        if git.exists():
            shutil.rmtree(git)
        else:
            git.mkdir(parents=True)
        return
    other = Path(chance.choice(PATHS))
    if kind == "rename" and path.is_file() and not other.is_dir():
        path.rename(other)
        return
    if path.is_dir() and not path.is_symlink():
        path.rmdir()
    path.unlink(missing_ok=True)
    if kind == "link":
        path.symlink_to(other.absolute())
    elif kind == "folder":
        path.mkdir()
    elif kind == "write":
        path.write_bytes(content(chance, path.name))


def asked(chance: random.Random, baseline: Path) -> list[str]:
    named = chance.choice([[], [], ["."], [chance.choice(PATHS)], [chance.choice(PATHS), chance.choice(PATHS)], ["-"]])
    words = ["--format", chance.choice(["json", "text", "sarif"]), *named]
    if named == ["-"]:
        words += ["--stdin-name", chance.choice(PATHS)]
    if chance.random() < 0.1:
        words += ["--baseline", str(baseline)]
    return words + (["--since", "HEAD"] if chance.random() < 0.1 else [])


@pytest.mark.parametrize("seed", range(3))
def test_whatever_changes_between_runs(
    command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, checked: list[str], seed: int
) -> None:
    chance = random.Random(seed)
    club = tmp_path / "club"
    lay({path: content(chance, path) for path in PATHS}, club)
    (club / "fleet/yard").mkdir(exist_ok=True)
    monkeypatch.chdir(club)
    start()
    baseline = tmp_path / "known.jsonl"
    command("baseline", str(baseline))
    checks, before = 0, len(checked)
    for number in range(RUNS // 3):
        for _ in range(chance.randint(0, 2)):
            change(chance)
        words, stdin = asked(chance, baseline), content(chance, chance.choice(PATHS))
        with monkeypatch.context() as there:
            there.chdir(club / chance.choice([".", ".", "fleet", "fleet/yard"]))
            at = len(checked)
            outcome = command("check", *words, stdin=stdin)
            cached = len(checked) - at
            assert outcome == command("check", "--no-cache", *words, stdin=stdin), (number, words, Path.cwd())
            checks += len(checked) - at - 2 * cached
    # Much of it was known.
    assert checks > (len(checked) - before) / 10


# --- Whatever lies in the cache ---------------------------------------------------------------------------------------


def shelves(cache: Path) -> list[Path]:
    return sorted((cache / "lampwright").iterdir())


def quiet(command: Command) -> None:
    outcome = command("check", "--format", "json")
    assert (outcome.status, outcome.err, outcome.burning) == (1, "", ["a.lights.yaml"])


@pytest.fixture
def shelf(command: Command, own_cache: Path) -> Path:
    """What is kept of two plans."""
    lay({"a.lights.yaml": BURNING, "b.lights.yaml": REFERRING, SHEET_NAME: SHEET, "lampwright.yaml": "exclude: [x/]\n"})
    quiet(command)
    (only,) = shelves(own_cache)
    return only


def sealed(data: bytes) -> bytes:
    return digest_of(data).encode() + b"\n" + data


@pytest.mark.parametrize("seed", range(10))
def test_damage(command: Command, shelf: Path, seed: int) -> None:
    chance, data = random.Random(seed), bytearray(shelf.read_bytes())
    for _ in range(chance.randint(1, 3)):
        data[chance.randrange(len(data))] ^= 1 << chance.randrange(8)
    shelf.write_bytes(data if seed % 3 else data[: chance.randrange(len(data))])
    quiet(command)
    quiet(command)


@pytest.mark.parametrize(
    "data", [b"", b"\n", b"[]", b"null", b"1", b'"x"', b"{", b"[" * 100_000, b'{"a.lights.yaml": NaN}', b"\xff", b"{}"]
)
def test_something_else_with_the_right_digest(command: Command, shelf: Path, data: bytes) -> None:
    for wrong in (data, sealed(data)):
        shelf.write_bytes(wrong)
        quiet(command)


def test_every_part_of_an_entry_may_be_something_else(command: Command, shelf: Path) -> None:
    good = json.loads(shelf.read_bytes().partition(b"\n")[2])
    # Only what is not a text or a truth value can be seen to be wrong.
    wrong = [None, -1, 1.5, 10**9, [], {}, [[]], "x", True]

    def each(value: object, put: Callable[[object], None]) -> None:
        for other in wrong:
            if type(other) is not type(value) or not isinstance(value, str | dict):
                put(other)
                shelf.write_bytes(sealed(json.dumps(good).encode()))
                outcome = command("check", "--format", "json")
                assert (outcome.err, outcome.status in (0, 1)) == ("", True), (value, other)
        put(value)
        items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
        for key, item in list(items)[:3]:
            each(item, lambda other, key=key: value.__setitem__(key, other))  # type: ignore[attr-defined,misc]

    each(good["a.lights.yaml"], lambda other: good.__setitem__("a.lights.yaml", other))
    each(good["lampwright.yaml"][-1], lambda other: good["lampwright.yaml"].__setitem__(3, other))
    each(good["."], lambda other: good.__setitem__(".", other))


def test_standard_input_is_read_once_whatever_is_kept(command: Command, shelf: Path) -> None:
    good = json.loads(shelf.read_bytes().partition(b"\n")[2])
    good["a.lights.yaml"][2][-1] = [["a card", "that is none"]]
    shelf.write_bytes(sealed(json.dumps(good).encode()))
    words = ("a.lights.yaml", "gone.lights.yaml", "-", "--stdin-name", "c.lights.yaml", "--format", "json")
    outcome = same(command, *words, stdin=BURNING.encode())
    assert outcome.burning == ["a.lights.yaml", "c.lights.yaml"]
    assert outcome.err.count("gone.lights.yaml") == 1


@pytest.mark.parametrize("make", ["folder", "full folder", "link", "dangling", "endless", "pipe", "huge"])
def test_no_shelf_at_all(command: Command, shelf: Path, tmp_path: Path, make: str) -> None:
    data = shelf.read_bytes()
    shelf.unlink()
    if "folder" in make:
        shelf.mkdir()
        if make == "full folder":
            (shelf / "x").touch()
    elif make == "pipe":
        os.mkfifo(shelf)
    elif make == "huge":
        with shelf.open("wb") as file:
            file.truncate(10**12)
    else:
        target = tmp_path / "target"
        if make == "link":
            target.write_bytes(data)
        shelf.symlink_to("/dev/zero" if make == "endless" else target)
    quiet(command)
    quiet(command)
    # What stood there was replaced, not written to.
    assert "folder" in make or (shelf.is_file() and not shelf.is_symlink() and shelf.stat().st_size < 10**6)
    assert make != "link" or (tmp_path / "target").read_bytes() == data


def test_no_folder_to_keep_anything_in(command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    lay({"a.lights.yaml": BURNING, "file": "", "private/x": ""})
    places = ["file", "file/below", "a.lights.yaml", "/proc/nothing", "/dev/null", "/dev/full", "relative"]
    for place in places:
        monkeypatch.setenv("XDG_CACHE_HOME", place if place == "relative" else str(tmp_path / place))
        monkeypatch.setenv("HOME", str(tmp_path / "file"))
        quiet(command)
    monkeypatch.delenv("XDG_CACHE_HOME")
    for home in ("", "relative", "/proc/nobody", "/nonexistent"):
        monkeypatch.setenv("HOME", home)
        quiet(command)
    assert Path("file").read_bytes() == b""
    assert not Path("relative").exists()


def test_a_user_without_a_home(command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    lay({"a.lights.yaml": BURNING})
    monkeypatch.delenv("XDG_CACHE_HOME")
    monkeypatch.delenv("HOME")

    def nobody(_: int) -> None:
        raise KeyError("getpwuid(): uid not found")

    monkeypatch.setattr("pwd.getpwuid", nobody)
    quiet(command)


@pytest.mark.parametrize("name", ["open", "replace", "scandir", "fstat", "unlink", "mkdir"])
def test_every_call_may_fail(
    command: Command, shelf: Path, monkeypatch: pytest.MonkeyPatch, name: str, own_cache: Path
) -> None:
    real = getattr(os, name)

    def fail(path: object, *more: object, **options: object) -> object:
        if isinstance(path, int) or str(own_cache) in os.fspath(path):  # type: ignore[call-overload]
            raise PermissionError(13, "Permission denied")
        return real(path, *more, **options)

    lay({"b.lights.yaml": PLAN})
    with monkeypatch.context() as broken:
        broken.setattr(os, name, fail)
        quiet(command)
        quiet(command)
    quiet(command)
    assert shelf.is_file()


LIMITED = """
import resource, sys
resource.setrlimit(resource.RLIMIT_FSIZE, (100, 100))
from lampwright.cli import main
sys.exit(main(sys.argv[1:]))
"""


def test_a_full_disk_leaves_nothing_behind(tmp_path: Path, own_cache: Path) -> None:
    lay({"a.lights.yaml": BURNING}, tmp_path)
    done = started("check", cwd=tmp_path, start=["-B", "-c", LIMITED])
    assert (done.returncode, done.stderr) == (1, b"")
    assert shelves(own_cache) == []


@pytest.mark.parametrize("years", [-60, -1, 1, 30])
def test_a_clock_that_is_wrong(command: Command, shelf: Path, monkeypatch: pytest.MonkeyPatch, years: int) -> None:
    import time

    now = time.time()
    lay({"b.lights.yaml": PLAN})
    with monkeypatch.context() as wrong:
        wrong.setattr(time, "time", lambda: now + years * 365 * 86400)
        quiet(command)
    lay({"b.lights.yaml": REFERRING})
    quiet(command)
    assert shelf.is_file()


def test_what_nobody_needs_any_more_is_thrown_away(
    command: Command, shelf: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import time

    now, day = time.time(), 86400
    ages = {"old": 31 * day, "young": 20 * day, "future": -3 * day, "x.killed": 2 * 3600, "x.busy": 60}
    for name, age in ages.items():
        (shelf.parent / name).write_bytes(b"x" * 10)
        os.utime(shelf.parent / name, (now - age, now - age))
    lay({"b.lights.yaml": PLAN})
    quiet(command)
    assert {path.name for path in shelf.parent.iterdir()} == {shelf.name, "young", "x.busy"}
    monkeypatch.setattr("lampwright.files.keeping.ALL_TOGETHER", shelf.stat().st_size + 500)
    (shelf.parent / "young").write_bytes(b"x" * 1000)
    os.utime(shelf.parent / "young", (now - day, now - day))
    lay({"b.lights.yaml": REFERRING})
    quiet(command)
    assert shelf.is_file()
    assert not (shelf.parent / "young").exists()


def test_files_that_are_gone_are_forgotten(command: Command, shelf: Path) -> None:
    Path("b.lights.yaml").unlink()
    lay({SHEET_NAME: SHEET + "\n"})
    quiet(command)
    assert "b.lights.yaml" not in json.loads(shelf.read_bytes().partition(b"\n")[2])


def test_nobody_else_may_read_it(command: Command, own_cache: Path) -> None:
    lay({"a.lights.yaml": BURNING})
    mask = os.umask(0)
    try:
        quiet(command)
    finally:
        os.umask(mask)
    (only,) = shelves(own_cache)
    assert [path.stat().st_mode & 0o777 for path in (own_cache, only.parent, only)] == [0o700, 0o700, 0o600]


def test_what_somebody_else_has_put_there_is_not_believed(
    command: Command, shelf: Path, checked: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert shelf.is_file()
    checked.clear()
    monkeypatch.setattr(os, "geteuid", lambda: 12345)
    quiet(command)
    assert len(checked) == 4


KILLED = """
import os, signal, sys
number, seen = int(sys.argv.pop(1)), 0
def count(event, arguments):
    global seen
    if event in {"open", "os.rename", "os.remove", "os.mkdir", "os.scandir"} and "lampwright" in str(arguments[0]):
        if os.environ["XDG_CACHE_HOME"] in str(arguments[0]):
            seen += 1
            if seen == number:
                os.kill(os.getpid(), signal.SIGKILL)
from lampwright.cli import main
sys.addaudithook(count)
sys.exit(main(sys.argv[1:]))
"""


def test_killed_at_any_moment_of_writing(tmp_path: Path, own_cache: Path) -> None:
    lay({"a.lights.yaml": BURNING}, tmp_path)
    good = started("check", "--no-cache", cwd=tmp_path)
    number, killed = 1, True
    while killed:
        shutil.rmtree(own_cache, ignore_errors=True)
        killed = started(str(number), "check", cwd=tmp_path, start=["-c", KILLED]).returncode < 0
        number += 1
        if killed:
            again = started("check", cwd=tmp_path)
            assert (again.stdout, again.stderr) == (good.stdout, b"")
    assert number > 4


def test_many_at_once_on_a_cold_cache(tmp_path: Path, own_cache: Path) -> None:
    import subprocess

    from command import environment

    lay({f"{number}.lights.yaml": BURNING for number in range(4)}, tmp_path)
    line = [sys.executable, "-m", "lampwright", "check", "--format", "line"]
    pipes = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    members = [subprocess.Popen(line, cwd=tmp_path, env=environment(), **pipes) for _ in range(6)]  # type: ignore[call-overload]
    said = {member.communicate(timeout=60) for member in members}
    assert len(said) == 1
    assert said.pop()[1] == b""
    assert len(shelves(own_cache)) == 1


# --- A report as a plain object ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("data", [{1: 2}, {"a": {1}}, {"a": [object()]}, {"a": b""}])
def test_what_json_cannot_hold_is_not_kept(data: dict[object, object]) -> None:
    source = Source("a.lights.yaml", "text")
    finding = Finding(source.span(0, 1), "words", data=data)  # type: ignore[arg-type]
    assert kept(Report(sources=(source,), findings=(finding,)), [source]) is None


def test_a_place_elsewhere_is_not_kept() -> None:
    source, other = Source("a.lights.yaml", "text"), Source("b.lights.yaml", "text")
    finding = Finding(other.span(0, 1), "words", data={"a": (1, "b", None, 1.5, {"c": True})})
    report = Report(sources=(source,), findings=(finding,))
    assert kept(report, [source]) is None
    plain = kept(report, [source, other])
    assert plain is not None
    again = recalled(json.loads(json.dumps(plain)), [source, other])
    assert (again.sources, again.findings[0].span) == (report.sources, finding.span)
