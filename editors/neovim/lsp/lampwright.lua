-- Lampwright in Neovim 0.11 and newer: put this file into the folder lsp/ of your configuration
-- (~/.config/nvim/lsp/lampwright.lua) and write vim.lsp.enable("lampwright") into init.lua.

-- What Lampwright reads. For any other YAML file nothing is started.
local function is_ours(path)
  local name = vim.fs.basename(path)
  return name == "lampwright.yaml"
    or name:match("^.+%.lights%.yaml$") ~= nil
    or name:match("^.+%.decoder%.yaml$") ~= nil
    or name:match("^.+%.parts%.yaml$") ~= nil
end

return {
  cmd = { "lampwright", "server" },
  filetypes = { "yaml" },
  root_dir = function(buffer, start)
    local path = vim.api.nvim_buf_get_name(buffer)
    if is_ours(path) then
      start(vim.fs.root(buffer, { "lampwright.yaml", ".git" }) or vim.fs.dirname(path))
    end
  end,
}
