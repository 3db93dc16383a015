-- Does in a real Neovim what a person would, and says what came of it as JSON, a line each. PLAN is the plan.
local plan = assert(vim.env.PLAN)
local function say(what, value)
  io.stdout:write(vim.json.encode({ what, value }) .. "\n")
end
local function wait(what, condition)
  if not vim.wait(20000, condition, 20) then
    say("gave up", what)
    vim.cmd("cquit 3")
  end
end
local function ask(method, params)
  local answers = vim.lsp.buf_request_sync(0, method, params, 20000) or {}
  for _, answer in pairs(answers) do
    return answer.result
  end
end
local function go(pattern, into)
  vim.fn.cursor(1, 1)
  local line, column = unpack(vim.fn.searchpos(pattern, "cW"))
  vim.api.nvim_win_set_cursor(0, { line, column - 1 + (into or 0) })
end
local function at()
  return vim.lsp.util.make_position_params(0, "utf-8")
end

vim.cmd.edit(vim.fs.dirname(plan) .. "/other.yaml")
vim.wait(300)
say("other", #vim.lsp.get_clients({ bufnr = 0 }))

vim.cmd.edit(plan)
wait("a client", function() return #vim.lsp.get_clients({ bufnr = 0 }) == 1 end)
wait("diagnostics", function() return #vim.diagnostic.get(0) > 0 end)
for _, each in ipairs(vim.diagnostic.get(0)) do
  local text = vim.api.nvim_buf_get_text(0, each.lnum, each.col, each.end_lnum, each.end_col, {})[1]
  say("diagnostic", { each.code, text, each.message, each.severity })
end

go("front headlamp]")
local hover = ask("textDocument/hover", at())
say("hover", hover and hover.contents.value)

local definition = ask("textDocument/definition", at())
say("definition", definition and #definition)

-- The quick fix, as a person takes it: the first thing that is offered.
vim.ui.select = function(items, options, choose)
  say("offered", options.format_item and options.format_item(items[1]) or "?")
  choose(items[1], 1)
end
local before = vim.api.nvim_buf_get_changedtick(0)
vim.lsp.buf.code_action({ context = { only = { "quickfix" } } })
wait("the fix", function() return vim.api.nvim_buf_get_changedtick(0) ~= before end)
vim.cmd.write()
wait("the finding to go", function()
  for _, each in ipairs(vim.diagnostic.get(0)) do
    if each.code == "unprotected-led" then return false end
  end
  return true
end)
say("left", vim.tbl_map(function(each) return each.code end, vim.diagnostic.get(0)))

local hints = ask("textDocument/inlayHint", {
  textDocument = { uri = vim.uri_from_bufnr(0) },
  range = { start = { line = 0, character = 0 }, ["end"] = { line = 100, character = 0 } },
})
say("hints", vim.tbl_map(function(each) return each.label end, hints or {}))

-- A second output, typed as people type: the bracket is open when the resistor is asked for.
local last = vim.fn.search("^keys:", "w")
vim.api.nvim_buf_set_lines(0, last - 1, last - 1, false, { "  yellow: {circuit: [rear headlamp, " })
vim.api.nvim_win_set_cursor(0, { last, #"  yellow: {circuit: [rear headlamp, " })
vim.wait(100)
local offered = ask("textDocument/completion", at())
say("completion", offered and offered.items[1] and { offered.items[1].label, offered.items[1].detail })
vim.cmd("silent undo")

go("front headlamp:")
local renamed = ask("textDocument/rename", vim.tbl_extend("force", at(), { newName = "smokebox lamp" }))
vim.lsp.util.apply_workspace_edit(renamed, "utf-8")
say("renamed", vim.fn.searchcount({ pattern = "smokebox lamp" }).total)

say("messages", vim.fn.execute("messages"))
vim.cmd("qall!")
