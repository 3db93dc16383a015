"""The server as a process: reads standard input, writes standard output, and ends with its client, whatever that does.

Standard error stays empty, but for one line if the server itself fails; the rest goes to the client's log.
"""

from __future__ import annotations

import asyncio
import gc
import logging
import os
import queue
import sys
import threading
from contextlib import suppress
from typing import Any, BinaryIO

from lsprotocol import types

from lampwright.harmless import visible
from lampwright_lsp.frames import Malformed, messages
from lampwright_lsp.server import Server, make_server

# Seconds between two looks at whether the client is still alive, and that the last words may take.
_WATCH = 1.0
_LAST_WORDS = 1.0
# Seconds that one thread may keep the others waiting: Python's own 5 ms would add up over all hands.
_SWITCH = 0.001
# How many objects more there are before garbage is looked for. What a plan is read to is no garbage; at the usual pace
# of 700, looking through it takes a fifth of the time from a key to the findings of a plan of 5000 lines.
_PACE = (200_000, 50, 100)


def main() -> int:
    """Serve until the client has gone; the exit status is that of the protocol, 2 for a failure of our own."""
    if sys.stdin is None or sys.stdout is None:
        _complain("standard input or standard output is closed")
        return 2
    if sys.stdin.isatty():
        _complain("this is for editors, which start it themselves; end it with Ctrl+C")
    stdin, stdout = sys.stdin.buffer, sys.stdout.buffer
    # Whatever is printed by mistake must not get among the messages.
    sys.stdout = sys.stderr
    sys.setswitchinterval(_SWITCH)
    # What was imported stays.
    gc.freeze()
    gc.set_threshold(*_PACE)
    gc.enable()
    try:
        status = asyncio.run(_serve(stdin, stdout))
    except KeyboardInterrupt:
        status = 130
    except Exception as error:  # noqa: BLE001  # the last resort: one line, never a traceback
        _complain(f"the server failed, which is our fault: {type(error).__name__}: {error}")
        status = 2
    # A check that still runs must not keep a process alive that nobody talks to.
    os._exit(status)


def _complain(line: str) -> None:
    with suppress(OSError, ValueError, AttributeError):
        sys.stderr.write(f"lampwright: {visible(line)}\n")
        sys.stderr.flush()


async def _serve(stdin: BinaryIO, stdout: BinaryIO) -> int:
    loop = asyncio.get_running_loop()
    over: asyncio.Future[int] = loop.create_future()
    server = make_server()
    writer = Writer(stdout, lambda: loop.call_soon_threadsafe(_end, over, 1))
    server.protocol.set_writer(writer)
    _log_to(server, loop)

    def take(message: dict[str, Any] | Malformed) -> None:
        if isinstance(message, dict) and message.get("method") == types.EXIT:
            _end(over, 0 if server.protocol.is_shut_down else 1)
        elif not over.done():
            server.protocol.take(message)

    def read() -> None:
        # A terminal that is closed cannot be read any more, which is an error and not the end of a file.
        with suppress(OSError):
            for message in messages(stdin):
                loop.call_soon_threadsafe(take, message)
        loop.call_soon_threadsafe(_end, over, 0 if server.protocol.is_shut_down else 1)

    threading.Thread(target=read, name="reader", daemon=True).start()
    watch = loop.create_task(_watch(server, over))
    try:
        return await over
    finally:
        watch.cancel()
        server.work.stop_all()
        writer.finish()


def _end(over: asyncio.Future[int], status: int) -> None:
    if not over.done():
        over.set_result(status)


async def _watch(server: Server, over: asyncio.Future[int]) -> None:
    """End with the client's process, also where its end of the pipe is held open by somebody else."""
    was_seen = False
    while True:
        await asyncio.sleep(_WATCH)
        number = server.process_id
        # In a container the client's number may mean nothing, so one that was never seen is not missed.
        if number is not None and os.name == "posix":
            is_alive = _is_alive(number)
            if was_seen and not is_alive:
                _end(over, 1)
            was_seen = was_seen or is_alive


def _is_alive(number: int) -> bool:
    try:
        os.kill(number, 0)
    except PermissionError:
        return True
    except (OSError, OverflowError):
        return False
    return True


class Writer:
    """Writes in a thread of its own: a client that does not read must not keep us from reading."""

    def __init__(self, stream: BinaryIO, on_loss: Any) -> None:
        self._stream = stream
        self._on_loss = on_loss
        self._queue: queue.SimpleQueue[bytes | None] = queue.SimpleQueue()
        self._thread = threading.Thread(target=self._run, name="writer", daemon=True)
        self._thread.start()

    def write(self, data: bytes) -> None:
        """Hand over bytes."""
        self._queue.put(data)

    def close(self) -> None:
        """Nothing is to be closed: the process ends."""

    def finish(self) -> None:
        """Give what was handed over some time to be written."""
        self._queue.put(None)
        self._thread.join(_LAST_WORDS)

    def _run(self) -> None:
        try:
            while (data := self._queue.get()) is not None:
                self._stream.write(data)
                self._stream.flush()
        except (OSError, ValueError):
            self._on_loss()


def _log_to(server: Server, loop: asyncio.AbstractEventLoop) -> None:
    """Send what is logged to the client, and nothing to standard error."""

    class ToClient(logging.Handler):
        def emit(self, record: logging.LogRecord) -> None:
            loop.call_soon_threadsafe(server.log, record.levelno, self.format(record))

    root = logging.getLogger()
    root.handlers[:] = [ToClient(logging.WARNING)]
    # The library complains, with tracebacks, of all that is refused; of failures it tells the server, which logs them.
    logging.getLogger("pygls").setLevel(logging.CRITICAL)
    logging.captureWarnings(capture=True)
