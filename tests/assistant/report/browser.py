"""A real browser (headless Chromium) for pages, driven by its own protocol.

`Browser.open` loads a page and tells every request that it made. What the page looks like to a
reader who does not see it comes from the browser's accessibility tree.
"""

from __future__ import annotations

import base64
import json
import shutil
import subprocess
import time
import urllib.request
from pathlib import Path
from typing import Any

from websockets.sync.client import ClientConnection
from websockets.sync.client import connect as open_socket

FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    # Whatever is asked of the outside world finds nobody there.
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
    "--remote-debugging-port=0",
)
PATIENCE = 60.0
NAMES = ("chromium", "chromium-browser", "google-chrome")


def program() -> str | None:
    """The browser's program, or None where there is none."""
    return next((found for name in NAMES if (found := shutil.which(name))), None)


class Browser:
    """One browser with one page, in a folder of its own."""

    def __init__(self, folder: Path) -> None:
        found = program()
        assert found is not None
        self._process = subprocess.Popen(
            [found, *FLAGS, f"--user-data-dir={folder}", "about:blank"],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        try:
            port = _port(folder / "DevToolsActivePort")
            with urllib.request.urlopen(
                f"http://127.0.0.1:{port}/json", timeout=PATIENCE
            ) as answer:
                pages = [page for page in json.load(answer) if page["type"] == "page"]
            # Kept open for the browser's life; `close` closes it.
            opening = open_socket(pages[0]["webSocketDebuggerUrl"], max_size=None)
            self._socket: ClientConnection = opening.__enter__()
            self._opening = opening
        except BaseException:
            self._process.kill()
            raise
        self._number = 0
        self._told: list[dict[str, Any]] = []
        for domain in ("Page", "Network", "Runtime", "Log", "Accessibility"):
            self.call(f"{domain}.enable")

    def close(self) -> None:
        self._opening.__exit__(None, None, None)
        self._process.terminate()
        self._process.wait(PATIENCE)

    def call(self, method: str, **given: Any) -> dict[str, Any]:
        """One command of the protocol; its answer."""
        self._number += 1
        self._socket.send(json.dumps({"id": self._number, "method": method, "params": given}))
        while True:
            message: dict[str, Any] = json.loads(self._socket.recv(timeout=PATIENCE))
            if message.get("id") == self._number:
                assert "error" not in message, message
                result: dict[str, Any] = message["result"]
                return result
            self._told.append(message)

    def open(self, page: Path, *, scheme: str = "light", width: int = 1200) -> None:
        """Load a page from disk and wait until it is there."""
        self.call(
            "Emulation.setDeviceMetricsOverride",
            width=width, height=900, deviceScaleFactor=1, mobile=width < 500,
        )  # fmt: skip
        features = [{"name": "prefers-color-scheme", "value": scheme}]
        self.call("Emulation.setEmulatedMedia", features=features)
        self._told.clear()
        self.call("Page.navigate", url=page.absolute().as_uri())
        until = time.monotonic() + PATIENCE
        while self.value("document.readyState") != "complete" or not self._events(
            "Page.loadEventFired"
        ):
            assert time.monotonic() < until, "the page did not load"
            time.sleep(0.05)

    def requests(self) -> list[str]:
        """The address of everything that was asked for since the page was opened."""
        return [
            message["params"]["request"]["url"]
            for message in self._events("Network.requestWillBeSent")
        ]

    def complaints(self) -> list[str]:
        """What the browser wrote to its console: errors, refusals, exceptions."""
        entries = [m["params"]["entry"]["text"] for m in self._events("Log.entryAdded")]
        thrown = self._events("Runtime.exceptionThrown")
        return entries + [m["params"]["exceptionDetails"]["text"] for m in thrown]

    def value(self, expression: str) -> Any:
        """What a piece of script gives back, as JSON."""
        answer = self.call(
            "Runtime.evaluate", expression=expression, returnByValue=True, awaitPromise=True
        )
        assert "exceptionDetails" not in answer, answer
        return answer["result"].get("value")

    def tree(self) -> list[dict[str, Any]]:
        """The accessibility tree: role and name of everything a screen reader is told."""
        nodes = self.call("Accessibility.getFullAXTree")["nodes"]
        return [
            {
                "role": node.get("role", {}).get("value"),
                "name": node.get("name", {}).get("value", ""),
                "description": node.get("description", {}).get("value", ""),
            }
            for node in nodes
            if not node.get("ignored")
        ]

    def picture(self) -> bytes:
        """What is on the screen, as PNG."""
        return base64.b64decode(self.call("Page.captureScreenshot")["data"])

    def pdf(self, *, letter: bool = False) -> bytes:
        """The page printed on A4, or on US Letter."""
        wide, high = (8.5, 11.0) if letter else (8.27, 11.69)
        answer = self.call("Page.printToPDF", paperWidth=wide, paperHeight=high)
        return base64.b64decode(answer["data"])

    def _events(self, method: str) -> list[dict[str, Any]]:
        return [message for message in self._told if message.get("method") == method]


def _port(file: Path) -> int:
    """The port that the browser chose, once it has written it down."""
    until = time.monotonic() + PATIENCE
    while time.monotonic() < until:
        if file.exists() and len(lines := file.read_text().splitlines()) > 1:
            return int(lines[0])
        time.sleep(0.05)
    raise AssertionError("the browser did not start")
