"""Browsers for tests: Chromium through Playwright, Firefox and WebKit as a reader may have them.

Fixtures (taken in by conftest.py): ``chromium_page``, a fresh Playwright page; ``webkit_driver``, a
Selenium driver; ``engine``, each of the three in turn with ``open(address)`` and
``evaluate(javascript)``. ``served(folder)`` serves a folder on this machine.
A browser that is not installed skips its tests, but fails them where the variable CI is set.
"""

from __future__ import annotations

import contextlib
import functools
import http.server
import json
import os
import re
import shutil
import subprocess
import tempfile
import threading
import warnings
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Protocol

import pytest

CHROMIUM_FLAGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip
POLICY = (
    "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self' 'unsafe-inline'; "
    "img-src 'self' data:"
)


class Engine(Protocol):
    """A browser with one page."""

    def open(self, address: str) -> None:
        """Go to ``address`` and wait until it has loaded."""

    def evaluate(self, javascript: str) -> Any:
        """Return the plain value of an expression, waiting for it where it is a promise."""


def missing(what: str) -> None:
    """Skip the test for want of ``what``, or fail it where nothing may be wanting."""
    sentence = f"{what} is not installed here."
    if os.environ.get("CI"):
        pytest.fail(sentence)
    pytest.skip(sentence)


def program(*names: str) -> str:
    """Return the first program of ``names`` that is here."""
    for name in names:
        if found := shutil.which(name):
            return found
    missing(names[0])
    raise AssertionError


# --- Serving ---------------------------------------------------------------------------------


class _Handler(http.server.SimpleHTTPRequestHandler):
    protocol_version = "HTTP/1.1"
    policy = ""

    def end_headers(self) -> None:
        if self.policy:
            self.send_header("Content-Security-Policy", self.policy)
        super().end_headers()

    def log_message(self, *_: object) -> None:
        pass


@contextlib.contextmanager
def served(folder: Path, policy: str = POLICY) -> Iterator[str]:
    """Serve ``folder`` under ``policy`` and yield its address, ending in a slash."""
    handler = type("Handler", (_Handler,), {"policy": policy})
    bound = functools.partial(handler, directory=str(folder))
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), bound) as server:
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        try:
            yield f"http://127.0.0.1:{server.server_address[1]}/"
        finally:
            server.shutdown()
            thread.join()


# --- Chromium --------------------------------------------------------------------------------


@pytest.fixture(scope="session")
def chromium_browser() -> Iterator[Any]:
    """One headless Chromium for all tests."""
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        missing("The Python package playwright")
    with sync_playwright() as playwright:
        own = playwright.chromium.executable_path
        names = ("chromium", "chromium-browser", "google-chrome")
        executable = own if Path(own).exists() else program(*names)
        browser = playwright.chromium.launch(executable_path=executable, args=CHROMIUM_FLAGS)
        yield browser
        browser.close()


@pytest.fixture
def chromium_page(chromium_browser: Any) -> Iterator[Any]:
    """A Playwright page in a fresh profile."""
    context = chromium_browser.new_context()
    yield context.new_page()
    context.close()


class _Chromium:
    def __init__(self, page: Any) -> None:
        self.page = page

    def open(self, address: str) -> None:
        self.page.goto(address)

    def evaluate(self, javascript: str) -> Any:
        return self.page.evaluate(f"async () => ({javascript})")


# --- WebKit ----------------------------------------------------------------------------------


@pytest.fixture(scope="session")
def display() -> Iterator[str]:
    """A screen in memory, for browsers that need one."""
    read, write = os.pipe()
    command = [program("Xvfb"), "-displayfd", str(write), "-screen", "0", "1280x1024x24"]
    screen = subprocess.Popen(
        [*command, "-nolisten", "tcp"], pass_fds=[write], stderr=subprocess.DEVNULL
    )
    os.close(write)
    with os.fdopen(read) as pipe:
        number = pipe.readline().strip()
    yield f":{number}"
    screen.terminate()
    screen.wait()


@pytest.fixture
def webkit_driver(display: str) -> Iterator[Any]:
    """A Selenium driver of WebKitGTK's small browser."""
    try:
        from selenium import webdriver
    except ImportError:
        missing("The Python package selenium")
    browsers = sorted(Path("/usr/lib").glob("*/webkit2gtk-4.*/MiniBrowser"))
    if not browsers:
        missing("WebKitGTK's MiniBrowser (Debian package webkit2gtk-driver)")
    options = webdriver.WebKitGTKOptions()
    options.binary_location = str(browsers[0])
    options.add_argument("--automation")
    service = webdriver.WebKitGTKService(
        executable_path=program("WebKitWebDriver"), env={**os.environ, "DISPLAY": display}
    )
    with warnings.catch_warnings():  # Selenium's own, about how it calls itself
        warnings.simplefilter("ignore", DeprecationWarning)
        driver = webdriver.WebKitGTK(options=options, service=service)
    driver.set_script_timeout(120)
    yield driver
    driver.quit()


class _WebKit:
    def __init__(self, driver: Any) -> None:
        self.driver = driver

    def open(self, address: str) -> None:
        self.driver.get(address)

    def evaluate(self, javascript: str) -> Any:
        value, error = self.driver.execute_async_script(
            "const done = arguments[arguments.length - 1];"
            f"(async () => ({javascript}))().then("
            "value => done([value, null]), error => done([null, String(error)]));"
        )
        if error:
            raise AssertionError(error)
        return value


# --- Firefox ---------------------------------------------------------------------------------


class _Firefox:
    """Firefox by its own remote protocol (WebDriver BiDi), which needs no driver program."""

    def __init__(self, socket: Any) -> None:
        self.socket = socket
        self.last = 0
        self.send("session.new", capabilities={})
        contexts = self.send("browsingContext.getTree")["contexts"]
        self.context = contexts[0]["context"]

    def send(self, method: str, **parameters: Any) -> Any:
        self.last += 1
        self.socket.send(json.dumps({"id": self.last, "method": method, "params": parameters}))
        while (reply := json.loads(self.socket.recv())).get("id") != self.last:
            pass
        if reply["type"] == "error":
            raise AssertionError(reply["message"])
        return reply["result"]

    def open(self, address: str) -> None:
        self.send("browsingContext.navigate", context=self.context, url=address, wait="complete")

    def evaluate(self, javascript: str) -> Any:
        result = self.send(
            "script.evaluate",
            expression=f"(async () => JSON.stringify(({javascript})) ?? null)()",
            target={"context": self.context},
            awaitPromise=True,
        )
        if result["type"] == "exception":
            raise AssertionError(result["exceptionDetails"]["text"])
        text = result["result"].get("value")
        return None if text is None else json.loads(text)


@pytest.fixture
def firefox() -> Iterator[Engine]:
    """A headless Firefox that treats every file as a stranger to every other, as shipped."""
    try:
        import websocket
    except ImportError:
        missing("The Python package websocket-client")
    executable = program("firefox-esr", "firefox")
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile:
        Path(profile, "user.js").write_text(
            'user_pref("security.fileuri.strict_origin_policy", true);\n'
            'user_pref("browser.shell.checkDefaultBrowser", false);\n'
            'user_pref("datareporting.policy.dataSubmissionEnabled", false);\n'
            'user_pref("network.captive-portal-service.enabled", false);\n'
            'user_pref("network.connectivity-service.enabled", false);\n'
            'user_pref("app.update.auto", false);\n'
            'user_pref("app.normandy.enabled", false);\n'
            'user_pref("services.settings.server", "data:,#remote-settings-dummy/v1");\n'
        )
        command = [executable, "--headless", "--no-remote", "--profile", profile]
        with subprocess.Popen(
            [*command, "--remote-debugging-port", "0", "about:blank"],
            stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True,
            env={**os.environ, "HOME": profile},
        ) as process:  # fmt: skip
            assert process.stderr
            for line in process.stderr:
                if found := re.search(r"BiDi listening on (ws://\S+)", line):
                    break
            else:
                pytest.fail("Firefox did not open its remote protocol.")
            threading.Thread(target=process.stderr.read, daemon=True).start()
            socket = websocket.create_connection(
                f"{found[1]}/session", suppress_origin=True, timeout=120
            )
            try:
                yield _Firefox(socket)
            finally:
                socket.close()
                process.terminate()
                process.wait()


@pytest.fixture(params=["chromium", "firefox", "webkit"])
def engine(request: pytest.FixtureRequest) -> Engine:
    """Each browser in turn."""
    if request.param == "chromium":
        return _Chromium(request.getfixturevalue("chromium_page"))
    if request.param == "webkit":
        return _WebKit(request.getfixturevalue("webkit_driver"))
    return request.getfixturevalue("firefox")
