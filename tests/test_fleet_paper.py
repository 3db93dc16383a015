"""The page of `lampwright fleet` in a real browser: it asks for nothing, fits its paper, and can be listened to."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from browser import Opened, started
from command import PLAN, Command, lay

if TYPE_CHECKING:
    from playwright.sync_api import Browser

ROOT = Path(__file__).parent.parent
KEYS = [f"  F{number}: {{label: Lamps of the upper quarry face {number}, momentary: true}}\n" for number in range(69)]


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with started() as found:
        yield found


def opened(browser: Browser, command: Command, folder: str | Path) -> Opened:
    outcome = command("fleet", str(folder), "--format", "html", "--output", "club.html")
    assert outcome.status in (0, 2), outcome.err
    return Opened(browser, Path.cwd() / "club.html")


def paper(page: Opened) -> list[tuple[float, float]]:
    """The size of each page on paper, in points, as the page itself asks for it."""
    printed = page.page.pdf(prefer_css_page_size=True)
    boxes = re.findall(rb"/MediaBox\s*\[\s*0\s+0\s+([0-9.]+)\s+([0-9.]+)\s*\]", printed)
    return [(float(width), float(height)) for width, height in boxes]


def test_nothing_but_the_file_is_asked_for_and_nothing_complains(browser: Browser, command: Command) -> None:
    for folder in ("examples", "examples/vehicles"):
        page = opened(browser, command, ROOT / folder)
        assert [address.partition(":")[0] for address in page.requests] == ["file"]
        assert page.complaints == []
        page.context.close()


def test_the_example_club_takes_two_pages_of_a4_landscape(
    browser: Browser, command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(ROOT)
    printed = command("fleet", "examples/vehicles", "--format", "html", "--output", str(tmp_path / "club.html"))
    assert printed.status == 0
    page = Opened(browser, tmp_path / "club.html")
    sizes = paper(page)
    assert len(sizes) == 2
    assert all((round(width), round(height)) == (842, 595) for width, height in sizes)
    page.context.close()


def test_no_table_is_wider_than_the_paper(browser: Browser, command: Command) -> None:
    """Not with all keys that there are and a word that no hyphen divides."""
    text = PLAN[: PLAN.index("  F0")] + "".join(KEYS).replace("quarry face 7,", f"{'x' * 60},")
    lay({"a.lights.yaml": text.replace("Quarry switcher 7", "Q" * 60)})
    page = opened(browser, command, ".")
    page.page.emulate_media(media="print")
    # What is between the margins of A4 landscape, in pixels of CSS.
    across = round(277 / 25.4 * 96)
    page.page.set_viewport_size({"width": across, "height": 800})
    wide = page.page.eval_on_selector_all("table, header", "(all) => all.map((each) => each.scrollWidth)")
    assert len(wide) == 8
    assert max(wide) <= across
    page.context.close()


def test_every_cell_is_read_with_its_headings(browser: Browser, command: Command) -> None:
    page = opened(browser, command, ROOT / "examples" / "vehicles").page
    known, matrix = page.get_by_role("table").all()
    assert known.get_by_role("columnheader").all_inner_texts() == [
        "Vehicle", "Address", "Findings", "Draws at most", "Needs"
    ]  # fmt: skip
    assert matrix.get_by_role("rowheader", name="Saddle tank 2").count() == 1
    row = matrix.get_by_role("row", name="Saddle tank 2")
    assert row.get_by_role("cell").first.inner_text() == "Headlamps"
    assert row.get_by_role("cell", name="no such key").count() == 10
    page.context.close()


def test_names_give_no_command_and_are_shown(browser: Browser, command: Command) -> None:
    label = "</script><script>alert(1)</script><img src=x onerror=alert(2)>\"'&amp;<!--"
    vehicle = "\u202e<b>turned</b> מנורה مصباح 🚂"
    plan = PLAN.replace("label: Headlamps", f"label: {json.dumps(label, ensure_ascii=False)}")
    lay({"loco.lights.yaml": plan.replace("Quarry switcher 7", json.dumps(vehicle, ensure_ascii=False))})
    page = opened(browser, command, ".")
    assert page.complaints == []
    assert len(page.requests) == 1
    assert page.page.locator("script, img, a, iframe, form, link, object, th b").count() == 0
    assert page.page.locator(".matrix td").inner_text() == label
    assert page.page.locator(".matrix tbody th").inner_text() == "\\u202e<b>turned</b> מנורה مصباح 🚂"
    page.context.close()
