"""The server's life with clients that are no good: early, late, garbled, dead."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from command import BURNING, PLAN, started
from conversation import COMMAND, PULL, SECONDS, Conversation, conversation

NOT_INITIALIZED, INVALID_REQUEST, PARSE_ERROR, INVALID_PARAMS, UNKNOWN = -32002, -32600, -32700, -32602, -32601


def test_a_life_as_it_should_be(tmp_path: Path) -> None:
    with conversation(tmp_path) as talk:
        talk.initialize()
        assert talk.rules(talk.open("loco.lights.yaml", BURNING)) == ["unprotected-led"]
        assert talk.end() == 0
        assert talk.errors() == ""


def test_nothing_is_answered_before_initialize(tmp_path: Path) -> None:
    with conversation(tmp_path) as talk:
        uri = talk.open("loco.lights.yaml", BURNING)
        assert talk.refused("textDocument/foldingRange", {"textDocument": {"uri": uri}}) == NOT_INITIALIZED
        assert talk.refused("shutdown") == NOT_INITIALIZED
        talk.initialize()
        # What was told too early was not heard.
        assert talk.rules(uri) == []
        assert talk.end() == 0


def test_nothing_is_answered_after_shutdown(tmp_path: Path) -> None:
    with conversation(tmp_path) as talk:
        talk.initialize()
        uri = talk.open("loco.lights.yaml", PLAN)
        talk.ask("shutdown")
        assert talk.refused("textDocument/foldingRange", {"textDocument": {"uri": uri}}) == INVALID_REQUEST
        assert talk.refused("shutdown") == INVALID_REQUEST
        talk.tell("exit")
        assert talk.process.wait(SECONDS) == 0


def test_initialize_is_for_once(tmp_path: Path) -> None:
    with conversation(tmp_path) as talk:
        talk.initialize()
        assert talk.refused("initialize", {"processId": None, "rootUri": None, "capabilities": {}}) == INVALID_REQUEST
        assert talk.end() == 0


@pytest.mark.parametrize("is_begun", [False, True])
def test_exit_without_shutdown_is_status_1(tmp_path: Path, is_begun: bool) -> None:
    with conversation(tmp_path) as talk:
        if is_begun:
            talk.initialize()
        talk.tell("exit")
        assert talk.process.wait(SECONDS) == 1
        assert talk.errors() == ""


GARBLED = [
    (b"Content-Length: many\r\n\r\n", PARSE_ERROR),
    (b"Content-Length: -5\r\n\r\n", PARSE_ERROR),
    (b"no header at all\r\n\r\n", PARSE_ERROR),
    (b"\xff\xfe\x00\r\n\r\n", PARSE_ERROR),
    (b"Content-Length: 9\r\n\r\n{not json", PARSE_ERROR),
    (b"Content-Length: 4\r\n\r\n\xc3\x28\xa0\xa1", PARSE_ERROR),
    (b"Content-Length: 100000\r\n\r\n" + b"[" * 100000, PARSE_ERROR),
    (b"Content-Length: 2\r\n\r\n[]", INVALID_REQUEST),
    (b'Content-Length: 15\r\n\r\n{"jsonrpc": "1"}'[:-1] + b"\r\n\r\n", PARSE_ERROR),
]


def test_what_is_garbled_is_refused_and_the_rest_is_heard(tmp_path: Path) -> None:
    with conversation(tmp_path) as talk:
        talk.initialize()
        for version, (garbled, code) in enumerate(GARBLED):
            talk.send(garbled)
            assert talk.answer(None)["error"]["code"] == code, garbled[:50]
            assert talk.rules(talk.open("loco.lights.yaml", BURNING, version)) == ["unprotected-led"]
        assert talk.end() == 0
        assert talk.errors() == ""


def test_headers_may_be_written_as_one_likes(tmp_path: Path) -> None:
    with conversation(tmp_path) as talk:
        body = b'{"jsonrpc": "2.0", "id": 77, "method": "shutdown"}'
        talk.initialize()
        talk.send(b"content-type: application/vscode-jsonrpc; charset=utf-8\ncontent-length:%d\n\n" % len(body) + body)
        assert talk.answer(77)["result"] is None


NOT_UNDERSTOOD: list[tuple[object, object, int]] = [
    ("textDocument/foldingRange", {"textDocument": 5}, INVALID_PARAMS),
    ("textDocument/foldingRange", None, INVALID_PARAMS),
    ("quarry/blast", {}, UNKNOWN),
    (12, {}, INVALID_REQUEST),
]


def test_a_question_that_cannot_be_understood_is_refused(tmp_path: Path) -> None:
    with conversation(tmp_path) as talk:
        talk.initialize()
        for method, params, code in NOT_UNDERSTOOD:
            assert talk.refused(method, params) == code, method
        assert talk.end() == 0
        assert talk.errors() == ""


def test_news_that_cannot_be_understood_change_nothing(tmp_path: Path) -> None:
    with conversation(tmp_path) as talk:
        talk.initialize()
        uri = talk.open("loco.lights.yaml", BURNING)
        talk.tell("textDocument/didChange", {"textDocument": None})
        talk.tell("textDocument/didClose", {})
        talk.change("file:///nowhere.lights.yaml", 2, {"text": "a"})
        talk.say({"id": "never asked", "result": 5})
        talk.tell("$/cancelRequest", {"id": 4711})
        assert talk.rules(uri) == ["unprotected-led"]
        assert talk.end() == 0
        assert talk.errors() == ""


def test_a_document_of_50_megabytes_is_a_finding(tmp_path: Path) -> None:
    with conversation(tmp_path) as talk:
        talk.initialize()
        uri = talk.open("loco.lights.yaml", "# a line of a comment that is not short, again and again\n" * 900_000)
        small = talk.open("small.lights.yaml", BURNING)
        began = time.monotonic()
        assert talk.rules(small) == ["unprotected-led"]
        assert talk.rules(uri) == ["unreadable-file"]
        assert time.monotonic() - began < SECONDS / 4
        talk.change(uri, 2, {"range": at(5, 0), "text": "x"})
        assert talk.rules(uri) == ["unreadable-file"]
        talk.change(uri, 3, {"text": BURNING})
        assert talk.rules(uri) == ["unprotected-led"]
        assert talk.end() == 0


def at(line: int, character: int) -> dict[str, object]:
    return {name: {"line": line, "character": character} for name in ("start", "end")}


@pytest.mark.parametrize("is_begun", [False, True])
def test_a_client_that_goes_away_takes_the_server_with_it(tmp_path: Path, is_begun: bool) -> None:
    with conversation(tmp_path) as talk:
        if is_begun:
            talk.initialize()
            talk.open("loco.lights.yaml", BURNING)
        assert talk.process.stdin is not None
        talk.process.stdin.close()
        assert talk.process.wait(SECONDS) == 1
        assert talk.errors() == ""


def test_a_client_that_dies_takes_the_server_with_it_though_the_pipe_is_open(tmp_path: Path) -> None:
    with conversation(tmp_path) as talk, subprocess.Popen([sys.executable, "-c", "input()"], stdin=-1) as editor:
        talk.initialize(processId=editor.pid)
        # It has to be seen once before it can be missed.
        time.sleep(1.5)
        assert talk.process.poll() is None
        editor.kill()
        editor.wait()
        assert talk.process.wait(SECONDS) == 1
        assert talk.errors() == ""


def test_a_client_that_never_was_is_not_missed(tmp_path: Path) -> None:
    with subprocess.Popen([sys.executable, "-c", ""]) as gone:
        gone.wait()
    with conversation(tmp_path) as talk:
        talk.initialize(processId=gone.pid)
        time.sleep(2.5)
        assert talk.rules(talk.open("loco.lights.yaml", BURNING)) == ["unprotected-led"]
        assert talk.end() == 0


def test_a_client_that_does_not_read_is_read_all_the_same(tmp_path: Path) -> None:
    with conversation(tmp_path) as talk:
        talk.initialize()
        uri = talk.open("loco.lights.yaml", BURNING)
        # Far more than a pipe holds is answered before anything is read.
        numbers = [talk.begin("textDocument/diagnostic", {"textDocument": {"uri": uri}}) for _ in range(2000)]
        assert talk.answer(numbers[-1])["result"]["items"][0]["code"] == "unprotected-led"
        assert talk.end() == 0


def test_at_a_terminal_one_line_tells_what_it_is(tmp_path: Path) -> None:
    pty = pytest.importorskip("pty")
    ours, theirs = pty.openpty()
    command = subprocess.Popen(COMMAND, cwd=tmp_path, stdin=theirs, stdout=-1, stderr=-1)
    os.close(theirs)
    assert command.stderr is not None
    assert (
        command.stderr.readline() == b"lampwright: this is for editors, which start it themselves; end it with Ctrl+C\n"
    )
    os.close(ours)
    _, err = command.communicate(timeout=SECONDS)
    assert err == b""


GONE = """
import errno, io, sys, types

class Gone(io.BytesIO):
    def readline(self, _size=-1):
        raise OSError(errno.EIO, "Input/output error")

sys.stdin = types.SimpleNamespace(buffer=Gone(), isatty=lambda: False)
from lampwright.cli import main
sys.exit(main(["server"]))
"""
"""A terminal that is closed while somebody reads from it: then the system may say so by an error."""


def test_at_a_terminal_that_is_gone_it_ends(tmp_path: Path) -> None:
    outcome = subprocess.run(
        [sys.executable, "-c", GONE], cwd=tmp_path, capture_output=True, timeout=SECONDS, check=False
    )
    assert (outcome.returncode, outcome.stdout, outcome.stderr) == (1, b"", b"")


def test_without_standard_input_one_line_says_so(tmp_path: Path) -> None:
    outcome = subprocess.run(
        ["/bin/sh", "-c", 'exec "$@" <&-', "sh", *COMMAND],
        cwd=tmp_path,
        capture_output=True,
        timeout=SECONDS,
        check=False,
    )
    assert outcome.returncode == 2
    assert outcome.stderr == b"lampwright: standard input or standard output is closed\n"


def test_without_its_libraries_one_line_says_what_to_do(tmp_path: Path) -> None:
    code = "import sys; sys.modules['pygls'] = None; from lampwright.cli import main; sys.exit(main(['server']))"
    outcome = subprocess.run(
        [sys.executable, "-c", code], cwd=tmp_path, capture_output=True, timeout=SECONDS, check=False
    )
    assert outcome.returncode == 2
    assert outcome.stdout == b""
    assert outcome.stderr == (
        b'lampwright: the language server needs a library that is not installed; run: pip install "pygls>=2,<3"\n'
    )


def test_the_command_tells_of_the_server(tmp_path: Path) -> None:
    assert b"server" in started("--help", cwd=tmp_path).stdout
    assert started("server", "--help", cwd=tmp_path).returncode == 0


@pytest.mark.parametrize("number", [[], {}, [1], 1.5, True])
def test_a_number_that_is_none_is_refused_and_cancels_nothing(tmp_path: Path, number: object) -> None:
    with conversation(tmp_path) as talk:
        talk.initialize()
        talk.tell("$/cancelRequest", {"id": number})
        talk.say({"id": number, "method": "textDocument/foldingRange", "params": {"textDocument": {"uri": "x"}}})
        assert talk.answer(None)["error"]["code"] == INVALID_REQUEST
        uri = talk.open("loco.lights.yaml", BURNING)
        assert talk.rules(uri) == ["unprotected-led"]
        assert talk.end() == 0
        logged = [each["params"]["message"] for each in talk._kept if each.get("method") == "window/logMessage"]
        assert not any("Traceback" in each for each in logged), logged


def test_what_is_refused_is_no_news_for_the_log(tmp_path: Path) -> None:
    with conversation(tmp_path) as talk:
        talk.initialize()
        uri = talk.open("loco.lights.yaml", BURNING)
        document, place = {"uri": uri}, {"line": 0, "character": 0}
        talk.refused("textDocument/prepareRename", {"textDocument": document, "position": place})
        for method, params, _ in NOT_UNDERSTOOD:
            talk.refused(method, params)
        assert talk.rules(uri) == ["unprotected-led"]
        assert talk.end() == 0
        assert [each for each in talk._kept if each.get("method") == "window/logMessage"] == []


BROKEN = """
import lampwright_lsp.telling as telling
from lampwright_lsp.starting import main
def fail(found, client):
    raise RuntimeError("the fuse has blown")
telling.diagnostics = fail
main()
"""


def test_findings_that_cannot_be_told_are_logged_with_the_reason(tmp_path: Path) -> None:
    with conversation(tmp_path, (sys.executable, "-c", BROKEN)) as talk:
        talk.initialize()
        uri = talk.open("loco.lights.yaml", BURNING)
        assert talk.refused("textDocument/diagnostic", {"textDocument": {"uri": uri}}) == -32603
        log = talk.note("window/logMessage")["message"]
        assert "which is our fault" in log
        assert "the fuse has blown" in log
        assert "in fail\n" in log
        assert talk.end() == 0
        assert talk.errors() == ""


FAILING = """
import lampwright_lsp.features as features, lampwright_lsp.server as server
from lampwright_lsp.feature import Feature
from lampwright_lsp.starting import main
def fail(snapshot, params):
    print("not among the messages")
    raise RuntimeError("the fuse has blown")
others = [each for each in features.FEATURES if each.method != "textDocument/hover"]
server.FEATURES = (*others, Feature("textDocument/hover", fail))
main()
"""


def test_a_feature_that_fails_costs_its_own_answer_only(tmp_path: Path) -> None:
    with conversation(tmp_path, (sys.executable, "-c", FAILING)) as talk:
        talk.initialize()
        uri = talk.open("loco.lights.yaml", BURNING)
        assert talk.about("textDocument/hover", uri, position={"line": 0, "character": 0}) is None
        log = talk.note("window/logMessage")
        assert "textDocument/hover failed, which is our fault" in log["message"]
        assert "the fuse has blown" in log["message"]
        assert talk.rules(uri) == ["unprotected-led"]
        assert talk.end() == 0
        assert talk.errors() == "not among the messages\n"


SLOW = """
import time
import lampwright_lsp.documents as documents
from lampwright_lsp.starting import main
judge = documents.judge
def slowly(surveyed, *, pause):
    if "slow" in surveyed.document.source.name:
        # As busy as rules are: the interpreter is never given away for long.
        end = time.monotonic() + 20
        while time.monotonic() < end:
            sum(range(20_000))
            pause()
    return judge(surveyed, pause=pause)
documents.judge = slowly
main()
"""


def elapsed(talk: Conversation, method: str, uri: str) -> float:
    began = time.monotonic()
    talk.about(method, uri)
    return time.monotonic() - began


def test_while_a_long_check_runs_others_are_answered_and_cancelled_at_once(tmp_path: Path) -> None:
    with conversation(tmp_path, (sys.executable, "-c", SLOW)) as talk:
        talk.initialize()
        slow, quick = talk.open("slow.lights.yaml", BURNING), talk.open("quick.lights.yaml", BURNING)
        assert talk.rules(quick) == ["unprotected-led"]
        waiting = talk.begin("textDocument/diagnostic", {"textDocument": {"uri": slow}})
        time.sleep(0.2)
        folds = sorted(elapsed(talk, "textDocument/foldingRange", uri) for uri in [quick, slow] * 20)
        checks = sorted(elapsed(talk, "textDocument/diagnostic", quick) for _ in range(20))
        began = time.monotonic()
        talk.tell("$/cancelRequest", {"id": waiting})
        assert talk.answer(waiting)["error"]["code"] == -32800
        cancelled = time.monotonic() - began
        # The machine may be busy with other tests, so that it is the usual time that is looked at.
        assert folds[len(folds) // 2] < 0.05
        assert checks[len(checks) // 2] < 0.05
        assert cancelled < 0.5
        # The text that took so long is gone, and with it the check.
        talk.change(slow, 2, {"text": "vehicle: {name: Quarry switcher 7}\n"})
        talk.close(slow)
        assert talk.end() == 0


def test_a_check_that_runs_does_not_outlive_the_client(tmp_path: Path) -> None:
    with conversation(tmp_path, (sys.executable, "-c", SLOW.replace("pause()", "pass"))) as talk:
        talk.initialize()
        talk.begin("textDocument/diagnostic", {"textDocument": {"uri": talk.open("slow.lights.yaml", BURNING)}})
        time.sleep(0.2)
        assert talk.process.stdin is not None
        talk.process.stdin.close()
        began = time.monotonic()
        assert talk.process.wait(SECONDS) == 1
        assert time.monotonic() - began < 10


def test_capabilities_say_what_there_is(tmp_path: Path) -> None:
    with conversation(tmp_path) as talk:
        capabilities = talk.initialize(PULL)["capabilities"]
        assert capabilities["textDocumentSync"] == {"openClose": True, "change": 2, "save": True}
        assert capabilities["diagnosticProvider"]["interFileDependencies"]
        assert capabilities["diagnosticProvider"]["workspaceDiagnostics"]
        assert talk.end() == 0
    with conversation(tmp_path) as talk:
        assert "diagnosticProvider" not in talk.initialize({})["capabilities"]
        assert talk.end() == 0
