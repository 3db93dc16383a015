-- Does in a real Neovim what a person would, and says what came of it as JSON, a line each. CLUB is the folder of the
-- example club. Whatever Neovim has a function for is done by that, as its keys do it.
local club = assert(vim.env.CLUB)
local function say(what, value)
  io.stdout:write(vim.json.encode({ what, value }) .. "\n")
end
local function wait(what, condition)
  if not vim.wait(20000, condition, 20) then
    say("gave up", what)
    vim.cmd("cquit 3")
  end
end
local function go(pattern)
  vim.fn.cursor(1, 1)
  local line, column = unpack(vim.fn.searchpos(pattern, "cW"))
  vim.api.nvim_win_set_cursor(0, { line, column - 1 })
end
local function name()
  return vim.fs.relpath(club, vim.api.nvim_buf_get_name(0))
end
local function changed_by(what, act)
  local before = vim.api.nvim_buf_get_changedtick(0)
  act()
  wait(what, function() return vim.api.nvim_buf_get_changedtick(0) ~= before end)
end
-- What the window that floats above the text shows, once there is one; then it is closed.
local function floating()
  local window
  wait("a window that floats", function()
    for _, each in ipairs(vim.api.nvim_list_wins()) do
      if vim.api.nvim_win_get_config(each).relative ~= "" then window = each end
    end
    return window ~= nil
  end)
  local lines = vim.api.nvim_buf_get_lines(vim.api.nvim_win_get_buf(window), 0, -1, false)
  vim.api.nvim_win_close(window, true)
  return lines
end

vim.cmd.edit(club .. "/other.yaml")
vim.wait(300)
say("other", #vim.lsp.get_clients({ bufnr = 0 }))

local plan = "mistakes/unprotected-led.lights.yaml"
for _, each in ipairs({ "lampwright.yaml", "club.parts.yaml", "decoders/grit-six.decoder.yaml", plan }) do
  vim.cmd.edit(club .. "/" .. each)
  wait("a client", function() return #vim.lsp.get_clients({ bufnr = 0 }) == 1 end)
  say("served", name())
end
wait("diagnostics", function() return #vim.diagnostic.get(0) > 0 end)
for _, each in ipairs(vim.diagnostic.get(0)) do
  local text = vim.api.nvim_buf_get_text(0, each.lnum, each.col, each.end_lnum, each.end_col, {})[1]
  say("diagnostic", { each.code, text, each.message, each.severity })
end

go("front headlamp]")
vim.lsp.buf.hover()
say("hover", floating())

-- From the plan into the catalogue, where alone the part is defined.
go("warm white 0805")
vim.lsp.buf.definition()
wait("the catalogue", function() return name() ~= plan end)
say("definition", { name(), vim.api.nvim_get_current_line() })
vim.cmd.edit(club .. "/" .. plan)

-- From the plan into the decoder sheet, to the output that is named. The plan's own wiring of it is a second place, so
-- that there is a list to choose from.
go("white, when")
vim.lsp.buf.definition()
wait("the places", function() return #vim.fn.getqflist() > 1 end)
vim.cmd("cfirst")
say("definition", { name(), vim.api.nvim_get_current_line() })
vim.cmd("cclose")
vim.cmd.edit(club .. "/" .. plan)

-- The quick fix, as a person takes it: the first thing that is offered.
vim.ui.select = function(items, options, choose)
  say("offered", options.format_item and options.format_item(items[1]) or "?")
  choose(items[1], 1)
end
go("front headlamp]")
changed_by("the fix", function() vim.lsp.buf.code_action({ context = { only = { "quickfix" } } }) end)
vim.cmd.write()
say("saved", table.concat(vim.fn.readfile(club .. "/" .. plan), "\n") .. "\n")
wait("the finding to go", function() return #vim.diagnostic.get(0) == 0 end)

-- Those of the mended text, in which a resistor has its heat.
wait("inlay hints", function()
  return vim.iter(vim.lsp.inlay_hint.get({ bufnr = 0 })):any(function(each) return each.inlay_hint.label:find(" mW$") end)
end)
say("hints", vim.tbl_map(function(each) return each.inlay_hint.label end, vim.lsp.inlay_hint.get({ bufnr = 0 })))

go("front headlamp:")
changed_by("the new name", function() vim.lsp.buf.rename("smokebox lamp") end)
vim.cmd.write()

say("messages", vim.fn.execute("messages"))
vim.cmd("qall!")
