-- Types a plan from nothing, key by key, and then takes the first fix of what is found. PLAN is the file, KEYS what is
-- pressed; behind Ctrl-o the offers are waited for, as a person waits to see them.
local plan, keys = assert(vim.env.PLAN), assert(vim.env.KEYS)
local function say(what, value)
  io.stdout:write(vim.json.encode({ what, value }) .. "\n")
end

-- Everything runs between the turns of the editor's own loop, so that it is as busy as with a person before it.
local run
local function pause(milliseconds)
  vim.defer_fn(function() assert(coroutine.resume(run)) end, milliseconds)
  coroutine.yield()
end
local function wait(what, condition)
  for _ = 1, 400 do
    if condition() then return end
    pause(25)
  end
  local found = vim.tbl_map(function(each) return { each.code, each.message } end, vim.diagnostic.get(0))
  say("gave up", { what, vim.api.nvim_buf_get_lines(0, 0, -1, false), found })
  vim.cmd("cquit 3")
end
local function press(some)
  local before = vim.api.nvim_buf_get_changedtick(0)
  vim.api.nvim_input(some)
  wait(some, function() return vim.api.nvim_buf_get_changedtick(0) ~= before end)
end

vim.ui.select = function(items, _, choose) choose(items[1], 1) end
local function mend(finding)
  vim.api.nvim_win_set_cursor(0, { finding.lnum + 1, finding.col })
  local before = vim.api.nvim_buf_get_changedtick(0)
  vim.lsp.buf.code_action({ context = { only = { "quickfix" } } })
  wait("a fix", function() return vim.api.nvim_buf_get_changedtick(0) ~= before end)
end

run = coroutine.create(function()
  vim.cmd.edit(plan)
  wait("a client", function() return #vim.lsp.get_clients({ bufnr = 0 }) == 1 end)
  for part, asks in (keys .. "\0"):gmatch("(.-)([%z\1])") do
    if part ~= "" then
      press(part)
      pause(100)
    end
    if asks == "\1" then
      local before = vim.api.nvim_buf_get_changedtick(0)
      vim.api.nvim_input("<C-x><C-o>")
      -- Of one offer only, Neovim makes no question.
      wait("offers behind " .. part, function()
        return vim.fn.pumvisible() == 1 or vim.api.nvim_buf_get_changedtick(0) ~= before
      end)
      pause(150)
      if vim.fn.pumvisible() == 1 then
        vim.api.nvim_input("<C-y>")
        wait("the first offer", function() return vim.fn.pumvisible() == 0 end)
      end
    end
  end
  vim.api.nvim_input("<Esc>")
  wait("the end", function() return vim.fn.mode() == "n" end)
  local fixes = 0
  pause(1000)
  while #vim.diagnostic.get(0) > 0 and fixes < 5 do
    mend(vim.diagnostic.get(0)[1])
    fixes = fixes + 1
    pause(1000)
  end
  vim.cmd("silent write")
  say("fixes", fixes)
  say("left", vim.tbl_map(function(each) return { each.code, each.message } end, vim.diagnostic.get(0)))
  say("text", vim.api.nvim_buf_get_lines(0, 0, -1, false))
  say("messages", vim.fn.execute("messages"))
  vim.cmd("qall!")
end)
vim.schedule(function() assert(coroutine.resume(run)) end)
