"""ruamel.yaml's pure parser, made to read as its C parser does, for where that one cannot be imported.

The two differ in tabs, anchors, tags, directives and the text of plain scalars; a test compares them on random text.
"""

from __future__ import annotations

import string
from collections.abc import Callable
from typing import Any

from ruamel.yaml.docinfo import DocInfo
from ruamel.yaml.events import ScalarEvent
from ruamel.yaml.parser import Parser
from ruamel.yaml.reader import Reader
from ruamel.yaml.scanner import Scanner, ScannerError
from ruamel.yaml.tokens import ScalarToken, TagToken

from lampwright.patterns import pattern

_ENDS = "\0\r\n"
_BLANKS = " \t\0\r\n"
_NAME = f"{string.ascii_letters}{string.digits}-_"
_DIRECTIVE = pattern("%TAG |%YAML +1\\.[12](?![0-9])")
_ESCAPE = pattern("%([0-9A-Fa-f]{2})")
_ADDRESS = f"{_NAME};/?:@&=+$,.!~*'()[]%"


def pure_events(text: str) -> Callable[[], Any]:
    """What gives the next event at each call."""
    return _Loader(text).get_event


class _Loader:
    """The parts in the shape in which they look for each other. YAML 1.1 is what the C parser reads by."""

    comment_handling = None
    processing_version = (1, 1)
    top_level_block_style_scalar_no_indent_error_1_1 = True

    def __init__(self, text: str) -> None:
        self._reader = self._scanner = self._parser = None
        self._resolver = self
        self.doc_infos = [DocInfo()]
        Reader(text, loader=self)
        _Scanner(loader=self)
        self.get_event: Callable[[], Any] = _Parser(loader=self).get_event


class _Parser(Parser):
    def parse_node(self, *args: Any, **kinds: Any) -> Any:
        """A node with both a tag and an anchor begins at the first of them."""
        start = self.scanner.peek_token().start_mark
        is_tagged = self.scanner.check_token(TagToken)
        event = super().parse_node(*args, **kinds)
        if is_tagged:
            event.start_mark = start
        return event

    def parse_flow_sequence_entry_mapping_key(self) -> Any:
        """The C parser skips what follows a `?` without a key."""
        key = self.scanner.get_token()
        state = self.parse_flow_sequence_entry_mapping_value
        if self.scanner.peek_token().id in (":", ",", "]"):
            self.scanner.get_token()
            self.state = state
            return ScalarEvent(None, None, (True, False), "", key.end_mark, key.end_mark)
        self.states.append(state)
        return self.parse_flow_node()


class _Scanner(Scanner):
    def _refuse(self, context: str, start: Any, problem: str) -> ScannerError:
        return ScannerError(context, start, problem, self.reader.get_mark())

    def _take(self, characters: str) -> str:
        """Reads as long as there are such characters."""
        length = 0
        while self.reader.peek(length) in characters:
            length += 1
        taken: str = self.reader.prefix(length)
        self.reader.forward(length)
        return taken

    def _skip_comment(self) -> None:
        if self.reader.peek() == "#":
            while self.reader.peek() not in _ENDS:
                self.reader.forward()

    def scan_to_next_token(self) -> Any:
        """Tabs may stand where no key can begin."""
        while True:
            self._take(" \t" if self.flow_level or not self.allow_simple_key else " ")
            self._skip_comment()
            if not self.scan_line_break():
                return
            if not self.flow_level:
                self.allow_simple_key = True

    def fetch_stream_end(self) -> None:
        """A key that must have a colon is missed at the end as well."""
        for key in self.possible_simple_keys.values():
            if key.required:
                raise self._refuse("while scanning a simple key", key.mark, "could not find expected ':'")
        super().fetch_stream_end()

    def fetch_directive(self) -> None:
        """An unknown directive or version is an error."""
        if not _DIRECTIVE.match(self.reader.prefix(10)):
            start = self.reader.get_mark()
            raise self._refuse("while scanning a directive", start, "found unknown directive")
        super().fetch_directive()

    def scan_anchor(self, TokenClass: Any) -> Any:  # noqa: N803 - the parser's own name
        """Names of anchors are ASCII letters, digits, hyphen and underscore."""
        start = self.reader.get_mark()
        name = "alias" if self.reader.peek() == "*" else "anchor"
        self.reader.forward()
        value = self._take(_NAME)
        if not value or self.reader.peek() not in f"{_BLANKS}?:,]}}%@`":
            raise self._refuse(f"while scanning an {name}", start, "did not find expected alphabetic character")
        return TokenClass(value, start, self.reader.get_mark())

    def scan_tag(self) -> Any:
        """`!<address>`, `!handle!suffix` or `!suffix`, then a blank."""
        start = self.reader.get_mark()
        verbatim = self.reader.peek(1) == "<"
        self.reader.forward(2 if verbatim else 1)
        handle, suffix = None, "" if verbatim else self._take(_NAME)
        if not verbatim and self.reader.peek() == "!":
            self.reader.forward()
            handle, suffix = f"!{suffix}!", ""
        rest = self._take(_ADDRESS)
        needs_rest = verbatim or handle is not None
        if (needs_rest and not rest) or not _is_address(rest) or (verbatim and self.reader.peek() != ">"):
            raise self._refuse("while parsing a tag", start, "did not find expected tag URI")
        self.reader.forward(1 if verbatim else 0)
        if self.reader.peek() not in _BLANKS:
            raise self._refuse("while scanning a tag", start, "did not find expected whitespace or line break")
        return TagToken((handle, suffix or "!"), start, self.reader.get_mark())

    def scan_block_scalar_indicators(self, start_mark: Any) -> Any:
        """`|` or `>`, then at most one of + and - and one digit."""
        self._block_start = start_mark
        signs = self._take("+-0123456789")
        digits = signs.strip("+-")
        if len(signs) > 2 or len(digits) > 1 or (len(signs) == 2 and not digits) or digits == "0":
            raise self._refuse("while scanning a block scalar", start_mark, "did not find expected comment")
        chomping = True if "+" in signs else False if "-" in signs else None
        return chomping, int(digits) if digits else None

    def scan_block_scalar_ignored_line(self, start_mark: Any) -> Any:
        """A comment may follow at once."""
        self._take(" \t")
        self._skip_comment()
        if self.reader.peek() not in _ENDS:
            raise self._refuse("while scanning a block scalar", start_mark, "did not find expected comment")
        self.scan_line_break()

    def scan_block_scalar_indentation(self) -> Any:
        """Blank lines may be indented more than the text; a tab may not indent it."""
        breaks, end, widest = self._block_breaks(None)
        return breaks, widest, end

    def scan_block_scalar_breaks(self, indent: int) -> Any:
        """The same below the first line."""
        return self._block_breaks(indent)[:2]

    def _block_breaks(self, indent: int | None) -> tuple[list[str], Any, int]:
        breaks: list[str] = []
        end, widest = self.reader.get_mark(), 0
        while True:
            while self.reader.peek() == " " and (indent is None or self.reader.column < indent):
                self.reader.forward()
            widest = max(widest, self.reader.column)
            if self.reader.peek() == "\t" and (indent is None or self.reader.column < indent):
                problem = "found a tab character where an indentation space is expected"
                raise self._refuse("while scanning a block scalar", self._block_start, problem)
            if self.reader.peek() not in "\r\n":
                return breaks, end, widest
            breaks.append(self.scan_line_break())
            end = self.reader.get_mark()

    def scan_flow_scalar(self, style: Any) -> Any:
        """An escape for what is no character is an error."""
        start = self.reader.get_mark()
        try:
            token = super().scan_flow_scalar(style)
            token.value.encode()
        except (ValueError, OverflowError):
            raise self._refuse("while parsing a quoted scalar", start, "found invalid escape") from None
        return token

    def scan_plain(self) -> Any:
        """Text up to a comment, an indicator or a line that is not indented enough, with its line breaks folded."""
        start = end = self.reader.get_mark()
        pieces: list[str] = []
        gap, broken = "", False
        while not self._at_document_mark() and self.reader.peek() != "#":
            piece = self._plain_piece(start)
            if piece:
                pieces += gap, piece
                end = self.reader.get_mark()
                broken = False
            if self.reader.peek() not in " \t\r\n":
                break
            gap, broken = self._plain_gap(start)
            if not self.flow_level and self.reader.column <= self.indent:
                break
        self.allow_simple_key = broken
        return ScalarToken("".join(pieces), plain=True, start_mark=start, end_mark=end)

    def _at_document_mark(self) -> bool:
        marked = self.reader.column == 0 and self.reader.prefix(3) in ("---", "...")
        return marked and self.reader.peek(3) in _BLANKS

    def _plain_piece(self, start: Any) -> str:
        """What stands without a blank in it."""
        length = 0
        while (character := self.reader.peek(length)) not in _BLANKS:
            ends_key = character == ":" and self.reader.peek(length + 1) in _BLANKS
            if self.flow_level and character == ":" and not ends_key:
                self.reader.forward(length)
                raise self._refuse("while scanning a plain scalar", start, "found unexpected ':'")
            if ends_key or (self.flow_level and character in ",?[]{}"):
                break
            length += 1
        piece: str = self.reader.prefix(length)
        self.reader.forward(length)
        return piece

    def _plain_gap(self, start: Any) -> tuple[str, bool]:
        """The blanks before the next piece, folded, and whether there is a line break among them."""
        blanks, breaks = self._take(" \t"), 0
        while self.scan_line_break():
            breaks += 1
            self._take(" ")
            while self.reader.peek() == "\t":
                if self.reader.column <= self.indent:
                    problem = "found a tab character that violates indentation"
                    raise self._refuse("while scanning a plain scalar", start, problem)
                self._take(" \t")
        return ("\n" * (breaks - 1) or " " if breaks else blanks), breaks > 0


def _is_address(text: str) -> bool:
    """Whether each % in the address of a tag begins a byte, and the bytes are UTF-8."""
    plain = _ESCAPE.sub(lambda escape: chr(int(escape[1], 16)), text)
    try:
        plain.encode("latin-1").decode()
    except UnicodeDecodeError:
        return False
    return "%" not in _ESCAPE.sub("", text)
