"""What the README shows is what the program does: the printed finding, the table of rules, the examples, the commands."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from lampwright.cli import main
from lampwright.cli.reporting import FORMATS
from lampwright.rules import RULES
from recorded import promised, withstood
from seam import report

ROOT = Path(__file__).parent.parent
README = ROOT / "README.md"
FIGURES = "tests/bench/FIGURES.md"
LONG_RUNS = ("truth", "fuzz", "soak")
"""Of these and of the figures there is a record once they were run, each on a machine that has the time."""


def block(name: str) -> re.Pattern[str]:
    return re.compile(rf"(?P<start><!-- {re.escape(name)}[^>]*-->\n)(?P<text>.*?)(?P<end><!-- end -->)", re.DOTALL)


def compare(name: str, text: str, *, rewrite: bool) -> None:
    """The block of that name holds `text`, or is made to."""
    readme = README.read_text("utf-8")
    found = block(name).search(readme)
    assert found is not None
    if rewrite:
        README.write_text(readme[: found.start("text")] + text + readme[found.end("text") :], "utf-8")
    else:
        assert found["text"] == text, "run pytest --rewrite and look at the difference"


@pytest.mark.parametrize(("name", "status"), [("finding", 1), ("measured", 0)])
def test_a_finding_is_what_is_printed(
    name: str, status: int, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, rewrite: bool
) -> None:
    monkeypatch.chdir(ROOT)
    found = block(f"{name}: ").search(README.read_text("utf-8"))
    assert found is not None
    command = found["start"].removeprefix(f"<!-- {name}: lampwright ").removesuffix(" -->\n")
    assert main(command.split()) == status
    compare(f"{name}: ", f"```text\n{capsys.readouterr().out}```\n", rewrite=rewrite)


@pytest.mark.parametrize("name", ["figures", "wiring", "built", "states", "order", "fleet"])
def test_figures_and_states_are_what_is_printed(
    name: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, rewrite: bool
) -> None:
    monkeypatch.chdir(ROOT)
    found = block(f"{name}: ").search(README.read_text("utf-8"))
    assert found is not None
    command = found["start"].removeprefix(f"<!-- {name}: lampwright ").removesuffix(" -->\n")
    assert main(command.split()) == 0
    compare(f"{name}: ", f"```text\n{capsys.readouterr().out}```\n", rewrite=rewrite)


def test_the_table_lists_every_rule(rewrite: bool) -> None:
    rows = [f"| `{rule.name}` | {rule.level.word} | {rule.summary} |" for rule in RULES]
    table = "\n".join(["| rule | level | what it finds |", "|---|---|---|", *rows])
    compare("rules", f"{table}\n", rewrite=rewrite)


def test_the_table_lists_every_format(rewrite: bool) -> None:
    rows = [f"| `{name}` | {purpose} |" for name, purpose in FORMATS.items()]
    compare("formats", "\n".join(["| format | what it is |", "|---|---|", *rows]) + "\n", rewrite=rewrite)


def test_what_is_promised_stands_beside_what_was_measured(rewrite: bool) -> None:
    page = record(FIGURES)
    more = f"Machine, versions and all other figures: [{FIGURES}]({FIGURES})."
    lines = [*promised(page), "", more] if page is not None else []
    compare("speed", "".join(f"{line}\n" for line in lines), rewrite=rewrite)


def test_what_was_withstood_is_what_the_records_say(rewrite: bool) -> None:
    links = [f"tests/{run}/RESULTS.md" for run in LONG_RUNS]
    lines = [withstood(link, page) for link in links if (page := record(link))]
    compare("withstands", "".join(f"{line}\n" for line in lines), rewrite=rewrite)


def record(link: str) -> str | None:
    path = ROOT / link
    return path.read_text("utf-8") if path.exists() else None


def test_the_plan_language_by_example_is_clean() -> None:
    blocks = re.findall(r"```yaml\n(.*?)```", README.read_text("utf-8"), re.DOTALL)
    plan, sheet, catalogue = blocks[0], blocks[1], blocks[2]
    files = {"bench-six.decoder.yaml": sheet, "club.parts.yaml": catalogue}
    assert [finding.message for finding in report(plan, files=files).findings] == []
    assert [finding.message for finding in report(blocks[3], "lampwright.yaml").findings] == []


def test_the_commands_stand_where_the_ci_looks_for_them() -> None:
    for name, word in (("check", "lampwright check examples/"), ("tests", "pytest")):
        found = block(name).search(README.read_text("utf-8"))
        assert found is not None
        assert word in found["text"]
