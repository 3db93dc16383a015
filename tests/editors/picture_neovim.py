# ruff: noqa: S607  # the programs of the system that is at hand
"""Makes `editors/neovim/neovim.png`: a real Neovim with our configuration on the example club, in xterm under Xvfb.

Run by hand: `python tests/editors/picture_neovim.py`. Needs the test extra and Debian's `xvfb xterm imagemagick fonts-dejavu`.
Then look at the picture.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from editor_seam import EDITORS, Desk, fenced, installed

FOLDER = EDITORS / "neovim"
PICTURE = FOLDER / "neovim.png"
PLAN = "mistakes/unprotected-led.lights.yaml"
DISPLAY = ":97"
# What a person would do: go to the lamp and ask what it is.
LOOK = """
vim.o.termguicolors = true
vim.o.number = true
vim.o.signcolumn = "yes"
vim.o.laststatus = 0
vim.o.wrap = false
vim.o.ruler = false
vim.o.fillchars = "eob: "
for _, name in ipairs({ "NormalFloat", "FloatBorder" }) do vim.api.nvim_set_hl(0, name, { fg = "#c8c8c8", bg = "#2b2f3a" }) end
vim.api.nvim_set_hl(0, "DiagnosticVirtualTextError", { fg = "#ff8f8f", italic = true })
vim.api.nvim_set_hl(0, "LspInlayHint", { fg = "#7fa8c9", italic = true })
vim.o.cursorline = true
vim.api.nvim_create_autocmd("DiagnosticChanged", { callback = function()
  vim.defer_fn(function()
    vim.fn.cursor(1, 1)
    vim.fn.search("front headlamp]")
    vim.lsp.buf.hover({ border = "solid" })
  end, 1500)
end, once = true })
"""


def main() -> None:
    """Start everything, wait for the findings, take the picture, end everything."""
    with tempfile.TemporaryDirectory() as name:
        desk = Desk(Path(name)).set_up()
        config = desk.home / "CONFIG" / "nvim"
        (config / "lsp").mkdir(parents=True)
        shutil.copy(FOLDER / "lsp" / "lampwright.lua", config / "lsp")
        (written,) = fenced(FOLDER / "README.md", "lua")
        (config / "init.lua").write_text(written + LOOK, "utf-8")
        environment = desk.environment(DISPLAY=DISPLAY, COLORTERM="truecolor")
        screen = subprocess.Popen(["Xvfb", DISPLAY, "-screen", "0", "1400x900x24"])
        time.sleep(1)
        neovim = installed("nvim", "pip install -e '.[test]'")
        font = ["-fa", "DejaVu Sans Mono", "-fs", "13", "-geometry", "128x12", "-bg", "#14161b", "-b", "10", "+sb"]
        terminal = subprocess.Popen(
            ["xterm", *font, "-e", neovim, "-n", "-i", "NONE", PLAN], cwd=desk.club, env=environment
        )
        time.sleep(8)
        shot = Path(name) / "shot.png"
        subprocess.run(["import", "-window", "root", str(shot)], env=environment, check=True)
        subprocess.run(
            [
                "convert",
                str(shot),
                "-trim",
                "+repage",
                "-bordercolor",
                "#14161b",
                "-border",
                "6",
                "-colors",
                "128",
                "-strip",
                str(PICTURE),
            ],
            check=True,
        )
        for process in (terminal, screen):
            process.terminate()
            process.wait(10)


if __name__ == "__main__":
    main()
