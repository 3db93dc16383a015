" Does in a real Vim what a person would, and writes what came of it as JSON, a line each, into the file SAID. CLUB is the
" folder of the example club, SERVERS the file in which servers leave their numbers.

function! s:say(what, value) abort
  call writefile([json_encode([a:what, a:value])], $SAID, 'a')
endfunction

function! s:wait(what, Condition) abort
  for l:turn in range(1500)
    if a:Condition()
      return
    endif
    sleep 20m
  endfor
  call s:say('gave up', [a:what, execute('messages')])
    cquit 3
endfunction

function! s:findings() abort
  return map(copy(ale#engine#GetLoclist(bufnr(''))), {_, each -> [get(each, 'code', ''), each.text, each.lnum, each.col, each.type]})
endfunction

function! s:take(text) abort
  call cursor(1, 1)
  call search('\V' . a:text, 'cW')
endfunction

function! s:shown() abort
  for l:window in range(1, winnr('$'))
    if getwinvar(l:window, '&previewwindow')
      return getbufline(winbufnr(l:window), 1, '$')
    endif
  endfor
  return []
endfunction

function! s:servers() abort
  return filereadable($SERVERS) ? len(readfile($SERVERS)) : 0
endfunction

" A short answer would be a message, a long one a window: here always the latter.
let g:ale_hover_to_preview = 1

function! s:morning() abort
  silent execute 'edit' fnameescape($CLUB . '/other.yaml')
  call ale#Queue(0)
  sleep 500m
  call s:say('other', [&filetype, s:servers()])

  " Of each kind, what the server says proves that it is asked. The last one is the beginner's plan.
  for [l:name, l:word] in [
  \   ['lampwright.yaml', '15.0 V'],
  \   ['club.parts.yaml', '1.5 kohm'],
  \   ['decoders/grit-six.decoder.yaml', 'yellow'],
  \   ['mistakes/unprotected-led.lights.yaml', 'front headlamp]'],
  \ ]
    silent execute 'edit' fnameescape($CLUB . '/' . l:name)
    call s:take(l:word)
    ALEHover
    call s:wait('hover on ' . l:word, {-> !empty(s:shown())})
    call s:say('hover', [l:name, s:shown()])
    pclose
  endfor
  call s:wait('findings', {-> !empty(s:findings())})
  call s:say('diagnostics', s:findings())

  call s:take('grit-six')
  ALEGoToDefinition
  call s:wait('the sheet', {-> expand('%:t') ==# 'grit-six.decoder.yaml'})
  silent execute 'edit' fnameescape($CLUB . '/' . l:name)

  " The quick fix, as a person takes it: the first thing that is offered.
  call s:take('front headlamp]')
  let l:before = b:changedtick
  call feedkeys("1\<CR>", 't')
  ALECodeAction
  call s:wait('the fix', {-> b:changedtick != l:before})
  silent write
  call s:wait('the finding to go', {-> empty(s:findings())})
  call s:say('left', s:findings())

  " Where the next output is typed.
  call s:take('keys:')
endfunction

function! s:evening() abort
  call s:say('typed', getline('.'))
  silent undo

  call s:take('front headlamp:')
  let l:before = b:changedtick
  call feedkeys("\<C-u>smokebox lamp\<CR>", 't')
  ALERename
  call s:wait('the new name', {-> b:changedtick != l:before})
  silent write
  call s:say('messages', execute('messages'))
endfunction

" Between the two, keys are pressed.
function! s:run(part) abort
  try
    call call(a:part, [])
    call s:say('over', 1)
  catch
    call s:say('failed', [v:exception, v:throwpoint])
    cquit 3
  endtry
endfunction
command! Morning call s:run('s:morning')
command! Evening call s:run('s:evening') | qall!
