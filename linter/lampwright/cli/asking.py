"""Asks the person at the terminal for what the command line does not say; knows nothing of what is asked."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence

from lampwright.cli.printing import print_aside
from lampwright.records import dataclass


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked for an option: its name there, the words, and why an answer will not do (empty if it will).

    `usual` is what Enter alone means, the empty text if that leaves it open.
    """

    name: str
    words: str
    fault: Callable[[str], str]
    usual: str = ""


def may_ask() -> bool:
    """Whether there is a person who sees the questions and can answer."""
    streams = sys.stdin, sys.stdout
    return all(stream is not None and stream.isatty() for stream in streams)


def answered(questions: Sequence[Question], given: dict[str, str]) -> dict[str, str]:
    """`given` and an answer to every question that it leaves open. Raises EOFError where there is no more answer."""
    return {question.name: given.get(question.name) or _answer(question) for question in questions}


def _answer(question: Question) -> str:
    usual = f" [{question.usual}]" if question.usual else ""
    while True:
        answer = input(f"{question.words}{usual}: ").strip() or question.usual
        fault = question.fault(answer)
        if not fault:
            return answer
        print_aside(f"  {fault}")
