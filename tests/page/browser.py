"""A headless browser over its debugging pipe: messages in JSON, each ended by a NUL.

Nothing but the standard library: the two pipes are file descriptors 3 and 4 of the
browser (`--remote-debugging-pipe`), so that no port is opened.
"""

from __future__ import annotations

import base64
import contextlib
import json
import os
import select
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--hide-scrollbars",
    "--remote-debugging-pipe",
)
PATIENCE = 60.0
"""Seconds to wait for any one answer."""

# Puts the ends of the pipes (its first two arguments) where the browser looks for them;
# they are first copied out of the way, for they may be 3 and 4 in the wrong order.
_START = """
import fcntl, os, sys
read, write = (fcntl.fcntl(int(end), fcntl.F_DUPFD, 10) for end in sys.argv[1:3])
os.dup2(read, 3)
os.dup2(write, 4)
os.close(read)
os.close(write)
os.execv(sys.argv[3], sys.argv[3:])
"""


def find() -> str | None:
    """The browser's program file, or None."""
    return next((path for name in NAMES if (path := shutil.which(name))), None)


class Browser:
    """A running browser with one page."""

    def __init__(self, program: str, room: str) -> None:
        theirs_in, self._out = os.pipe()
        self._in, theirs_out = os.pipe()
        self.process = subprocess.Popen(
            [
                sys.executable,
                "-c",
                _START,
                str(theirs_in),
                str(theirs_out),
                program,
                *FLAGS,
                f"--user-data-dir={room}",
                "about:blank",
            ],
            pass_fds=(theirs_in, theirs_out),
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        os.close(theirs_in)
        os.close(theirs_out)
        self._buffer = b""
        self._last = 0
        self._session: str | None = None
        self.events: list[dict[str, Any]] = []
        target = self.call("Target.createTarget", url="about:blank")["targetId"]
        found = self.call("Target.attachToTarget", targetId=target, flatten=True)
        self._session = found["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network"):
            self.call(f"{domain}.enable")

    def call(self, method: str, **params: object) -> dict[str, Any]:
        """The result of one command; events that come in meanwhile are kept."""
        self._last += 1
        message: dict[str, object] = {"id": self._last, "method": method, "params": params}
        if self._session:
            message["sessionId"] = self._session
        os.write(self._out, json.dumps(message).encode() + b"\0")
        deadline = time.monotonic() + PATIENCE
        while True:
            answer = self._receive(deadline)
            if answer.get("id") != self._last:
                self.events.append(answer)
            elif "error" in answer:
                raise RuntimeError(f"{method}: {answer['error']}")
            else:
                return dict(answer["result"])

    def open(self, page: Path, width: int, *, dark: bool = False, media: str = "") -> None:
        """Load `page` in a window of that width; `events` holds what happened.

        `media` other than "" is imposed, on the screen and in print.
        """
        self.events.clear()
        self.call(
            "Emulation.setDeviceMetricsOverride",
            width=width,
            height=900,
            deviceScaleFactor=1,
            mobile=False,
        )
        scheme = {"name": "prefers-color-scheme", "value": "dark" if dark else "light"}
        self.call("Emulation.setEmulatedMedia", media=media, features=[scheme])
        self.call("Page.navigate", url=page.as_uri())
        deadline = time.monotonic() + PATIENCE
        while not any(event["method"] == "Page.loadEventFired" for event in self.events):
            self.events.append(self._receive(deadline))

    def evaluate(self, script: str) -> Any:
        """The value of an expression of JavaScript in the page."""
        found = self.call("Runtime.evaluate", expression=script, returnByValue=True)
        if "exceptionDetails" in found:
            raise RuntimeError(str(found["exceptionDetails"]))
        return found["result"].get("value")

    def pdf(self, width_inch: float, height_inch: float) -> bytes:
        """The open page printed on paper of that size."""
        found = self.call(
            "Page.printToPDF",
            paperWidth=width_inch,
            paperHeight=height_inch,
            printBackground=False,
        )
        return base64.b64decode(found["data"])

    def requests(self) -> list[str]:
        """The addresses asked for since the page was opened."""
        return [
            event["params"]["request"]["url"]
            for event in self.events
            if event["method"] == "Network.requestWillBeSent"
        ]

    def complaints(self) -> list[str]:
        """What the console shows: messages, faults, refusals."""
        kinds = ("Runtime.consoleAPICalled", "Runtime.exceptionThrown", "Log.entryAdded")
        return [
            json.dumps(event["params"]) for event in self.events if event["method"] in kinds
        ]

    def close(self) -> None:
        """End the browser."""
        self._session = None
        with contextlib.suppress(OSError, RuntimeError):
            self.call("Browser.close")
        os.close(self._out)
        os.close(self._in)
        try:
            self.process.wait(PATIENCE)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()

    def _receive(self, deadline: float) -> dict[str, Any]:
        while b"\0" not in self._buffer:
            ready, _, _ = select.select([self._in], [], [], max(0, deadline - time.monotonic()))
            if not ready:
                raise RuntimeError("the browser does not answer")
            piece = os.read(self._in, 1 << 16)
            if not piece:
                raise RuntimeError("the browser has ended")
            self._buffer += piece
        message, self._buffer = self._buffer.split(b"\0", 1)
        return dict(json.loads(message))


@contextlib.contextmanager
def running(program: str) -> Iterator[Browser]:
    """A browser with an empty profile of its own, gone afterwards."""
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as room:
        browser = Browser(program, room)
        try:
            yield browser
        finally:
            browser.close()
