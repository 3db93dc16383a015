"""Links to the pages of rules, in the forms and terminals that know links and in no others; and the pages themselves."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from jsonschema import Draft4Validator
from markdown_it import MarkdownIt

from command import BURNING, Command, lay
from lampwright.account.pages import fault_of_pages, page_of
from lampwright.cli.publishing import MARK
from lampwright.cli.reporting import FORMATS
from lampwright.cli.terminals import knows_links
from lampwright.render.as_markdown import render_markdown
from lampwright.render.as_sarif import render_sarif
from lampwright.render.as_text import render_text
from lampwright.rules import RULES
from reports import everything
from test_report_text import in_terminal

PAGES = "https://club.example/rules/{rule}.html?a=1&b=%20#top"
SCHEMA = Path(__file__).parent / "outside" / "schemas" / "sarif-schema-2.1.0.json"
LINK = re.compile("\x1b]8;;([^\x1b]*)\x1b\\\\")


# --- Where they are ---------------------------------------------------------------------------------------------------


def test_sarif_has_the_address_of_each_rule() -> None:
    log = json.loads(render_sarif(everything(), PAGES))
    Draft4Validator(json.loads(SCHEMA.read_text("utf-8"))).validate(log)
    for rule in log["runs"][0]["tool"]["driver"]["rules"]:
        assert rule["helpUri"] == page_of(PAGES, rule["id"])
    assert "helpUri" not in render_sarif(everything())


def test_markdown_links_the_rule_and_nothing_else() -> None:
    tokens = MarkdownIt("commonmark").parse(render_markdown(everything("[x](http://a.example) `y`"), PAGES))
    inside = [child for token in tokens for child in token.children or []]
    links = [child.attrs["href"] for child in inside if child.type == "link_open"]
    assert links == [
        page_of(PAGES, name)
        for name in ("overdriven-led", "missing-key", "misspelt-unit", "unwired-lamp", "implausible-value")
    ]
    plain = re.sub(r"\[([a-z-]+)\]\(<[^>]*>\)", r"\1", render_markdown(everything(), PAGES))
    assert plain == render_markdown(everything())


def test_a_terminal_gets_the_same_text_with_links() -> None:
    for colour in (False, True):
        linked = render_text(everything(), colour=colour, pages=PAGES)
        opened = [address for address in LINK.findall(linked) if address]
        assert opened[0] == page_of(PAGES, "overdriven-led")
        assert len(opened) == len(LINK.findall(linked)) / 2 == 5
        assert LINK.sub("", linked) == render_text(everything(), colour=colour)


@pytest.mark.parametrize("form", sorted(set(FORMATS) - {"sarif", "markdown"}))
def test_other_forms_are_as_they_were(command: Command, form: str) -> None:
    lay({"a.lights.yaml": BURNING})
    plain = command("check", "--format", form)
    assert command("check", "--format", form, "--pages", PAGES) == plain


def test_the_address_is_an_option_or_a_variable(command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    lay({"a.lights.yaml": BURNING})
    assert "club.example" not in command("check", "--format", "markdown").out
    assert "club.example" in command("check", "--format", "markdown", "--pages", PAGES).out
    monkeypatch.setenv("LAMPWRIGHT_PAGES", "https://other.example/{rule}")
    assert "other.example" in command("check", "--format", "markdown").out
    assert "club.example" in command("check", "--format", "markdown", "--pages", PAGES).out


def test_only_a_terminal_that_knows_links_gets_them(tmp_path: Path) -> None:
    lay({"a.lights.yaml": BURNING}, tmp_path)
    line = ("check", "--pages", PAGES)
    assert LINK.search(in_terminal(*line, folder=tmp_path, FORCE_HYPERLINK="1"))
    for variables in ({"FORCE_HYPERLINK": "0"}, {"NO_COLOR": "1"}, {"TERM": "dumb"}):
        assert not LINK.search(in_terminal(*line, folder=tmp_path, **{"FORCE_HYPERLINK": "1", **variables}))
    assert not LINK.search(in_terminal("check", folder=tmp_path, FORCE_HYPERLINK="1", LAMPWRIGHT_PAGES=""))


@pytest.mark.parametrize(
    ("environment", "knows"),
    [
        ({}, False),
        ({"TERM": "xterm"}, False),
        ({"TERM": "linux"}, False),
        ({"TERM": "xterm-kitty"}, True),
        ({"TERM": "alacritty"}, True),
        ({"TERM_PROGRAM": "vscode"}, True),
        ({"TERM_PROGRAM": "Apple_Terminal"}, False),
        ({"VTE_VERSION": "5002"}, True),
        ({"VTE_VERSION": "4800"}, False),
        ({"VTE_VERSION": "new"}, False),
        ({"KONSOLE_VERSION": "220401"}, True),
        ({"WT_SESSION": "1", "TMUX": "1,2"}, False),
        ({"KITTY_WINDOW_ID": "1", "TERM": "screen-256color"}, False),
        ({"TMUX": "1,2", "FORCE_HYPERLINK": "1"}, True),
        ({"TERM": "foot", "FORCE_HYPERLINK": "0"}, False),
    ],
)
def test_terminals_are_known_by_what_they_say(environment: dict[str, str], knows: bool) -> None:
    assert knows_links(environment) is knows


@pytest.mark.parametrize(
    "pages", [PAGES, "http://[::1]/{rule}", "file:///srv/rules/{rule}.md", "https://a.example/{rule}/{rule}"]
)
def test_an_address_of_pages(pages: str) -> None:
    assert (fault_of_pages(pages) == "") is ("[" not in pages)


@pytest.mark.parametrize(
    "pages",
    [
        "",
        "{rule}",
        "https://a.example/",
        "javascript:{rule}",
        "ftp://a/{rule}",
        "https://a/{rule}\x1b\\",
        "https://a/{rule}>",
        "https://a/{rule} b",
        "https://a/{rule}\n",
        "https://ä/{rule}",
    ],
)
def test_what_is_no_address_is_refused_before_anything_is_checked(command: Command, pages: str) -> None:
    assert fault_of_pages(pages) != ""
    if pages:
        outcome = command("check", "--pages", pages)
        assert (outcome.status, outcome.out, len(outcome.err.splitlines())) == (2, "", 1)


# --- The pages --------------------------------------------------------------------------------------------------------


def test_each_rule_has_its_page_and_the_index_leads_to_it(command: Command) -> None:
    lay({"rules/notes.txt": "ours"})
    outcome = command("explain", "--into", "rules")
    assert (outcome.status, outcome.out, outcome.err) == (0, f"{len(RULES) + 1} pages in rules\n", "")
    names = {path.name for path in Path("rules").iterdir()}
    assert names == {"notes.txt", "index.md", *(f"{rule.name}.md" for rule in RULES)}
    index = Path("rules/index.md").read_text("utf-8")
    assert re.findall(r"\]\(([a-z-]+\.md)\)", index) == [f"{rule.name}.md" for rule in RULES]
    for rule in RULES:
        page = Path(f"rules/{rule.name}.md").read_text("utf-8")
        assert page == f"{MARK}\n# {command('explain', rule.name).out}"


def test_earlier_pages_are_replaced_and_nothing_else(command: Command) -> None:
    lay({"rules/dim-led.md": f"{MARK}of yesterday\n", "rules/index.md": "# Our club\n"})
    outcome = command("explain", "--into", "rules")
    assert outcome.status == 2
    assert outcome.err == "lampwright: rules/index.md: it is no page of ours, and is left as it is\n"
    assert Path("rules/index.md").read_text("utf-8") == "# Our club\n"
    assert "of yesterday" not in Path("rules/dim-led.md").read_text("utf-8")


@pytest.mark.parametrize("arguments", [["--into", "none"], ["--into", ""], ["dim-led", "--into", "."]])
def test_where_no_pages_can_go_none_are_written(command: Command, arguments: list[str]) -> None:
    outcome = command("explain", *arguments)
    assert (outcome.status, outcome.out, len(outcome.err.splitlines())) == (2, "", 1)
    assert list(Path().iterdir()) == []
