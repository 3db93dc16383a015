"""The system's Chromium, driven without a window; a test that wants it is skipped where there is none."""

from __future__ import annotations

import os
import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

PROGRAMS = ("chromium", "chromium-browser", "google-chrome-stable", "google-chrome")


@contextmanager
def started() -> Iterator[Browser]:
    """The browser, closed behind; skips where it or its driver is missing."""
    program = next((found for name in PROGRAMS if (found := shutil.which(name))), None)
    if program is None:
        pytest.skip("there is no Chromium on this system")
    playwright = pytest.importorskip("playwright.sync_api", reason="the driver of browsers is not installed")
    # As root its sandbox cannot be had; the pages are our own.
    arguments = ["--no-sandbox"] if os.name == "posix" and os.geteuid() == 0 else []
    with playwright.sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=program, args=arguments)
        try:
            yield browser
        finally:
            browser.close()


class Opened:
    """A page that was opened from a file, and all that it complained of or asked for."""

    def __init__(self, browser: Browser, path: Path, **options: str) -> None:
        self.context = browser.new_context(**options)  # type: ignore[arg-type]
        self.page: Page = self.context.new_page()
        self.complaints: list[str] = []
        self.requests: list[str] = []
        self.page.on("console", lambda message: self.complaints.append(message.text))
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.page.on("dialog", lambda dialog: self.complaints.append(dialog.message))
        self.page.on("request", lambda request: self.requests.append(request.url))
        self.page.goto(path.as_uri())

    def paper(self, size: str) -> int:
        """How many pages it has on paper of that size."""
        return len(re.findall(rb"/Type\s*/Page\b(?!s)", self.page.pdf(format=size)))
