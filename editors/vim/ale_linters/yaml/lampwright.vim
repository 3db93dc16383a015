" Lampwright in Vim, by ALE: put this file into ~/.vim/ale_linters/yaml/.

" What Lampwright reads belongs to the next folder above with settings, else to that of the repository, else to its own.
" For any other YAML file there is no such folder, and so nothing is started.
function! ale_linters#yaml#lampwright#Root(buffer) abort
  let l:path = fnamemodify(bufname(a:buffer), ':p')
  if l:path !~# '[^/\\]\.\%(lights\|decoder\|parts\)\.yaml$' && l:path !~# '[/\\]lampwright\.yaml$'
    return ''
  endif
  let l:folder = fnamemodify(l:path, ':h')
  let l:settings = findfile('lampwright.yaml', escape(l:folder, ' ,;') . ';')
  if !empty(l:settings)
    return fnamemodify(l:settings, ':p:h')
  endif
  let l:repository = finddir('.git', escape(l:folder, ' ,;') . ';')
  return empty(l:repository) ? l:folder : fnamemodify(l:repository, ':p:h:h')
endfunction

call ale#linter#Define('yaml', {
\   'name': 'lampwright',
\   'lsp': 'stdio',
\   'executable': 'lampwright',
\   'command': '%e server',
\   'project_root': function('ale_linters#yaml#lampwright#Root'),
\})
