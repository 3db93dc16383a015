"""The lists of a bench sheet: what to program, with boxes to tick, and the keys, to be cut out for the throttle."""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.account.bench import BenchSheet, CvLine, KeyLine
from lampwright.account.words import place
from lampwright.render.bench_as_html.markup import box, name, text


def programming_section(sheet: BenchSheet) -> Iterator[str]:
    """The writes in order, a box for each and one for what is read back; nothing where there is nothing to write."""
    if not sheet.cvs:
        return
    yield '<section class="cvs"><h2>Programming list</h2>'
    yield f"<p>First box: written; second: read back and right. {' '.join(map(name, sheet.cautions))}</p>"
    if sheet.inexpressible:
        yield "<p>Cannot be programmed:</p><ul>"
        yield from (f"<li>{name(place(each.span))}: {name(each.message)}</li>" for each in sheet.inexpressible)
        yield "</ul>"
    yield "<ol>"
    yield from map(_write, sheet.cvs)
    yield "</ol></section>"


def _write(line: CvLine) -> str:
    written = "".join(box(f"CV{setting.cv} written") for setting in line.settings)
    back = box(f"CV{line.numbers} read back")
    each = " each" if len(line.settings) > 1 else ""
    numbers = text(line.numbers.replace(" to ", "–"))
    write = f"<b>CV{numbers} = {line.value}</b>{each} {name(line.meaning)}"
    return f'<li><span class="boxes">{written} {back}</span> {write}</li>'


def keys_section(sheet: BenchSheet) -> Iterator[str]:
    """A card with the keys; nothing where there are none."""
    if not sheet.keys:
        return
    yield '<section class="card"><h2>For the throttle</h2><div class="cut">'
    address = sheet.plan.vehicle.address
    number = f" · {address.number}" if address is not None else ""
    yield f"<p><b>{name(sheet.title)}</b>{number}</p><ul>"
    yield from map(_key, sheet.keys)
    yield "</ul></div></section>"


def _key(key: KeyLine) -> str:
    label = name(key.label) if key.label is not None else name(", ".join(key.lamps)) if key.lamps else "–"
    held = " <small>hold</small>" if key.momentary else ""
    return f"<li><b>{key.name}</b> {label}{held}</li>"
