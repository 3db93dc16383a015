" Makes, and writes into the file HEARD what the list of findings holds, and below it what stands where each entry leads.
silent make
let s:list = map(getqflist(), {_, each -> [each.valid, bufname(each.bufnr), each.lnum, each.col, each.vcol, each.type, each.text]})
call writefile([json_encode(s:list)], $HEARD)
let s:there = []
for s:number in range(1, len(s:list))
  silent execute 'cc' s:number
  call add(s:there, getline('.')[col('.') - 1:])
endfor
call writefile([json_encode(s:there)], $HEARD, 'a')
qall!
