"""What was read out of a decoder beside the programming list, each difference in words; and the same as JSON."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from typing import Any

from lampwright.account.objects import written
from lampwright.account.words import counted
from lampwright.analysis.programming import Programming, Setting
from lampwright.analysis.programming.claims import PageNumber
from lampwright.analysis.programming.comparison import Comparison
from lampwright.harmless import no_command, visible, visible_name
from lampwright.model.lighting import LightingPlan
from lampwright.rule.cv_meanings import Words, words_of
from lampwright.rule.phrases import listed

WIDTH = 120
_MOST_NAMED = 12


def render_read_back_text(
    name: str, plan: LightingPlan, programming: Programming, comparison: Comparison, width: int = WIDTH
) -> str:
    """What differs from the list for the plan in file `name`, what was not read, and what else the values mean."""
    words = words_of(plan, programming)
    lines = [f"{visible_name(name)}: {_sums(comparison)}"]
    for setting, value in comparison.different:
        lines += _wrapped(_difference(setting, value, words), width)
    others = [line for page, cv, value in comparison.others for line in _other(words, page, cv, value)]
    if others:
        lines += ["", "Of these the plan says nothing:"]
        lines += (line for other in others for line in _wrapped(other, width))
    if comparison.unknown:
        lines += ["", *_wrapped(f"Not read: {_names(comparison.unknown)}", width)]
    return "\n".join(lines) + "\n"


def render_read_back_json(name: str, plan: LightingPlan, programming: Programming, comparison: Comparison) -> str:
    """The same as one JSON object, with a line end."""
    words = words_of(plan, programming)
    document = {
        "format": 1,
        "plan": name,
        "equal": [_object(each.cv, each.page, {}) for each in comparison.equal],
        "different": [_object(each.cv, each.page, _values(each, value, words)) for each, value in comparison.different],
        "not-read": [_object(each.cv, each.page, {"wanted": each.value}) for each in comparison.unknown],
        "others": [
            _object(cv, page, {"value": value, "meaning": words.meaning(cv, page, value)})
            for page, cv, value in comparison.others
        ],
    }
    return f"{written(document, indent=2)}\n"


def _sums(comparison: Comparison) -> str:
    parts = [f"{counted(len(comparison.equal), 'CV')} as in the list", f"{len(comparison.different)} different"]
    parts += [f"{len(comparison.unknown)} not read"] if comparison.unknown else []
    return ", ".join(parts)


def _difference(setting: Setting, value: int, words: Words) -> str:
    name = _name(setting.cv, setting.page)
    wanted = setting.within(value)
    return f"{name} = {value}: {words.of(setting, value)}; the plan says {wanted}: {words.of(setting, wanted)}"


def _other(words: Words, page: PageNumber | None, cv: int, value: int) -> Iterator[str]:
    yield f"{_name(cv, page)} = {value}: {words.meaning(cv, page, value) or 'nothing that the sheet or S-9.2.2 names'}"


def _name(cv: int, page: PageNumber | None) -> str:
    return f"CV{cv}" if page is None else f"CV{cv} (page {page[0]}/{page[1]})"


def _names(settings: tuple[Setting, ...]) -> str:
    names = [_name(each.cv, each.page) for each in settings]
    more = [f"{len(names) - _MOST_NAMED} more"] if len(names) > _MOST_NAMED else []
    return listed([*names[:_MOST_NAMED], *more])


def _wrapped(text: str, width: int) -> list[str]:
    wrapped = textwrap.wrap(visible(text), width, initial_indent="  ", subsequent_indent="      ")
    return [no_command(line) for line in wrapped]


def _object(cv: int, page: PageNumber | None, more: dict[str, Any]) -> dict[str, Any]:
    return {"cv": cv, "page": list(page) if page is not None else None, **more}


def _values(setting: Setting, value: int, words: Words) -> dict[str, Any]:
    return {
        "value": value,
        "meaning": words.of(setting, value),
        "wanted": setting.within(value),
        "mask": setting.mask,
        "wanted-meaning": words.of(setting),
    }
