"""The screens in a browser: what the server gives, to whom, and what a page sees of a pair."""

from __future__ import annotations

import asyncio
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager, contextmanager
from pathlib import Path
from time import monotonic
from typing import Any

import aiohttp
import pytest

from tests.cli.conftest import Instep
from tracker.served import Served, command_line, is_served


def free_port() -> int:
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        port: int = found.getsockname()[1]
        return port


@contextmanager
def serving(basket: Path, *words: str) -> Iterator[str]:
    """The address at which a real `instep serve` shows a pair."""
    line = [sys.executable, "-m", "tracker", "--basket", str(basket), "serve", *words]
    with subprocess.Popen(
        [*line, "--port", str(free_port())], stdout=subprocess.PIPE, text=True
    ) as served:
        assert served.stdout is not None
        address = served.stdout.readline().removeprefix("In a browser: ").strip()
        assert served.stdout.readline() == "Nobody but this machine can open it. ctrl+c ends it.\n"
        try:
            yield address
        finally:
            served.send_signal(signal.SIGINT)
            assert served.wait(20) == 0


@asynccontextmanager
async def fetched(address: str, **headers: str) -> AsyncIterator[aiohttp.ClientResponse]:
    """An answer of the server, asked again until it listens."""
    async with aiohttp.ClientSession() as browser:
        for _ in range(400):
            try:
                async with browser.get(address, headers=headers) as answer:
                    yield answer
                    return
            except aiohttp.ClientConnectorError:
                await asyncio.sleep(0.05)
        raise AssertionError("it never listened")


class Page:
    """The socket behind a page: keys go up, what is painted comes down."""

    def __init__(self, socket: aiohttp.ClientWebSocketResponse) -> None:
        self._socket, self.painted = socket, ""

    async def press(self, keys: str) -> None:
        await self._socket.send_json(["stdin", keys])

    async def until(self, text: str) -> None:
        """Wait until a text was painted since this was last asked."""
        async with asyncio.timeout(60):
            while text not in self.painted:
                message = await self._socket.receive()
                assert message.type in (aiohttp.WSMsgType.BINARY, aiohttp.WSMsgType.TEXT), message
                data = message.data if isinstance(message.data, bytes) else message.data.encode()
                self.painted += re.sub(r"\x1b\[[0-9;?]*[a-zA-Z]", "", data.decode(errors="replace"))
        self.painted = ""


async def test_a_pair_is_counted_from_a_page(tmp_path: Path, pair: Instep) -> None:
    with serving(pair.basket, "night-ferry") as address:
        async with fetched(address) as answer:
            page = await answer.text()
        assert answer.status == 200
        own = address.rpartition("/")[0]
        loaded = re.findall(r'(?:href|src)="([^"]*)"', page) + re.findall(r'url\("([^"]*)"', page)
        assert loaded
        assert all(one.startswith((own, "data:")) or one == "" for one in loaded), loaded
        socket = re.search(r'websocket-url="([^"]*)"', page)
        assert socket is not None
        where = f"{socket[1]}?width=80&height=24"
        async with aiohttp.ClientSession() as browser, browser.ws_connect(where) as connected:
            seen = Page(connected)
            await seen.until("Cast on 64")
            await seen.press("3 ")
            await seen.until("round 4")
        pair.now("2026-03-02T20:00:00+01:00")
    assert pair.json("left")["done"] == 3


async def test_nobody_else_gets_in(pair: Instep) -> None:
    with serving(pair.basket) as address:
        own, _, key = address.rpartition("/")
        async with fetched(address) as answer:
            assert answer.status == 200
            assert "default-src 'self'" in answer.headers["Content-Security-Policy"]
            assert answer.headers["Referrer-Policy"] == "no-referrer"
        for where, headers, status in [
            (f"{own}/", {}, 404),
            (f"{own}/{key[:-1]}", {}, 404),
            (f"{own}/ws", {}, 404),
            (address, {"Host": "elsewhere.example"}, 403),
            (address, {"Origin": "http://elsewhere.example"}, 403),
            (f"{address}/ws", {"Origin": "http://elsewhere.example"}, 403),
            (f"{own}/static/", {}, 403),
        ]:
            async with fetched(where, **headers) as answer:
                assert answer.status == status, (where, headers)


async def test_every_answer_says_what_it_may_do(pair: Instep) -> None:
    with serving(pair.basket) as address:
        own = address.rpartition("/")[0]
        for where in (address, f"{own}/", f"{own}/static/", f"{own}/static/css/xterm.css"):
            async with fetched(where) as answer:
                assert answer.headers["X-Content-Type-Options"] == "nosniff", where
                assert answer.headers["Server"] == "instep"


async def test_who_ends_it_waits_for_no_page(pair: Instep) -> None:
    """Whoever presses ctrl+c while a page is open, one that does not even answer."""
    async with aiohttp.ClientSession() as browser:
        with serving(pair.basket, "night-ferry") as address:
            async with fetched(address):
                pass
            connected = await browser.ws_connect(f"{address}/ws?width=80&height=24")
            await Page(connected).until("Cast on 64")
            started = monotonic()
        assert monotonic() - started < 8, "the framework would wait ten seconds and more"
        await connected.close()


async def test_no_page_is_larger_than_a_screen(pair: Instep) -> None:
    with serving(pair.basket, "night-ferry") as address:
        async with fetched(address):
            pass
        async with (
            aiohttp.ClientSession() as browser,
            browser.ws_connect(f"{address}/ws?width=100000&height=9999") as connected,
        ):
            seen = Page(connected)
            await seen.until("Cast on 64")
            await connected.send_json(["resize", {"width": 10**9, "height": 10**9}])
            await seen.press(" ")
            await seen.until("round 2")


def test_a_page_whose_server_is_gone_ends(pair: Instep) -> None:
    """Nobody looks any longer: the program that showed it lets go of the basket."""
    line = [sys.executable, "-m", "tracker", "--basket", str(pair.basket), "knit", "night-ferry"]
    env = os.environ | {"TEXTUAL_DRIVER": "textual.drivers.web_driver:WebDriver"}
    with subprocess.Popen(line, stdin=subprocess.PIPE, stdout=subprocess.PIPE, env=env) as page:
        assert page.stdout is not None
        assert page.stdin is not None
        assert page.stdout.readline() == b"__GANGLION__\n"
        page.stdin.close()
        page.stdout.read()
        assert page.wait(30) == 0


def test_a_size_is_bounded() -> None:
    from tracker.ui.page_driver import LARGEST, bounded

    assert bounded(80, 24) == (80, 24)
    assert bounded(10**9, -5) == (LARGEST[0], 1)
    assert bounded("x", None) == (80, 24)


@pytest.mark.parametrize(
    ("what", "why"),
    [
        ("nosuch", 'no pair is called "nosuch"'),
        ("nosuch.toml", "nosuch.toml: there is no such file"),
        ("-", "what is piped in cannot be served; name a pair, or a file"),
    ],
)
def test_what_a_page_could_not_say_is_said_here(pair: Instep, what: str, why: str) -> None:
    assert why in pair.wrong("serve", what)


def test_every_address_has_another_key() -> None:
    keys = {Served("x", "127.0.0.1", 1).key for _ in range(100)}
    assert len(keys) == 100
    assert all(len(key) >= 20 for key in keys)
    assert Served("x", "::1", 81, "k").address == "http://[::1]:81/k"
    assert Served("x", "127.0.0.1", 80, "k").address == "http://127.0.0.1/k", "as browsers name it"


def test_the_line_that_starts_it_is_no_shells_toy(monkeypatch: pytest.MonkeyPatch) -> None:
    hostile = "a b'; touch x; '.db"
    line = command_line(["--basket", hostile])
    told = subprocess.run(
        ["sh", "-c", f"printf '%s\\n' {line}"], capture_output=True, text=True, check=True
    )
    assert told.stdout.splitlines()[-1] == hostile
    monkeypatch.setattr("tracker.served.os.name", "nt")
    assert command_line(["a b"]).endswith('-m tracker "a b"')


def test_who_is_served_knows(monkeypatch: pytest.MonkeyPatch) -> None:
    assert not is_served()
    monkeypatch.setenv("TEXTUAL_DRIVER", "textual.drivers.web_driver:WebDriver")
    assert is_served()


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (["--port", "0"], "0 is no port; write --port 8642, or another one to 65535"),
        (["--port", "70000"], "70000 is no port; write --port 8642, or another one to 65535"),
        (["--address", "all"], "--address is not known; write the number of this machine in your"),
        (["--address", "0.0.0.0"], "0.0.0.0 would be every network at once; write the number of"),  # noqa: S104
    ],
)
def test_what_cannot_be_served(instep: Instep, words: list[str], why: str) -> None:
    assert instep.wrong("serve", *words).startswith(why)


@pytest.fixture
def no_server(monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(_: Served) -> Any:
        raise OSError(98, "Address already in use")

    monkeypatch.setattr("tracker.served._server", fails)


@pytest.mark.usefixtures("no_server")
def test_a_port_that_is_taken(instep: Instep) -> None:
    code, out, err = instep.run("serve")
    assert (code, out.count("\n")) == (1, 2)
    assert err == (
        "instep: 127.0.0.1, port 8642, cannot be served: another program has it; write another --port, or an"
        " --address of this machine\n"
    )


@pytest.mark.usefixtures("no_server")
def test_an_address_that_others_reach_is_warned_of(instep: Instep) -> None:
    code, out, err = instep.run("serve", "--address", "192.168.1.20")
    assert code == 1
    assert "Nobody" not in out
    assert err.startswith("note: whoever is in your network and knows this address can see and ")


def test_without_the_extra(instep: Instep, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "textual_serve.server", None)
    code, _, err = instep.run("serve")
    assert (code, err) == (
        1, "instep: the server is not installed; in Instep's own folder write: pip install '.[tablet]'\n",
    )  # fmt: skip


# In a real browser, on demand


class Browser:
    """A headless Chromium, spoken to by its own protocol."""

    def __init__(self, socket: aiohttp.ClientWebSocketResponse) -> None:
        self._socket, self._asked = socket, 0
        self.requested: list[str] = []

    async def ask(self, method: str, **parameters: Any) -> dict[str, Any]:
        self._asked += 1
        number = self._asked
        await self._socket.send_json({"id": number, "method": method, "params": parameters})
        while True:
            told = await self._socket.receive_json()
            if told.get("method") == "Network.requestWillBeSent":
                self.requested.append(told["params"]["request"]["url"])
            if told.get("id") == number:
                assert "error" not in told, told
                result: dict[str, Any] = told["result"]
                return result

    async def tap(self, x: int, y: int) -> None:
        """A finger on the page."""
        for kind in ("mousePressed", "mouseReleased"):
            await self.ask(
                "Input.dispatchMouseEvent", type=kind, x=x, y=y, button="left", clickCount=1
            )

    async def space(self) -> None:
        """The space bar of a keyboard before it."""
        named = {"key": " ", "code": "Space", "windowsVirtualKeyCode": 32}
        await self.ask("Input.dispatchKeyEvent", type="keyDown", text=" ", **named)
        await self.ask("Input.dispatchKeyEvent", type="keyUp", **named)

    async def evaluated(self, script: str) -> Any:
        found = await self.ask("Runtime.evaluate", expression=script, returnByValue=True)
        return found["result"].get("value")


@asynccontextmanager
async def browsing(address: str, profile: Path) -> AsyncIterator[Browser]:
    program = shutil.which("chromium") or shutil.which("chromium-browser")
    assert program is not None
    port = free_port()
    with subprocess.Popen(
        [
            program, "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
            "--disable-background-networking", "--disable-component-update", "--disable-sync",
            f"--user-data-dir={profile}", f"--remote-debugging-port={port}", "--window-size=1180,820",
            "about:blank",
        ],
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    ) as process:  # fmt: skip
        try:
            async with fetched(f"http://127.0.0.1:{port}/json") as answer:
                (page,) = [one for one in await answer.json() if one["type"] == "page"]
            where = page["webSocketDebuggerUrl"]
            async with (
                aiohttp.ClientSession() as session,
                session.ws_connect(where, max_msg_size=0) as socket,
            ):
                browser = Browser(socket)
                await browser.ask("Network.enable")
                await browser.ask("Page.enable")
                await browser.ask("Page.navigate", url=address)
                yield browser
        finally:
            process.terminate()


@pytest.mark.skipif(os.environ.get("SWEEP") != "browser", reason="on demand: SWEEP=browser")
async def test_in_a_real_browser(tmp_path: Path, pair: Instep) -> None:
    import base64

    with serving(pair.basket, "night-ferry") as address:
        async with fetched(address):
            pass
        async with browsing(address, tmp_path / "profile") as browser:
            async with asyncio.timeout(60):
                while not await browser.evaluated(
                    "document.body && document.body.classList.contains('-first-byte')"
                ):
                    await asyncio.sleep(0.1)
            for done, act in enumerate(
                (browser.tap(300, 180), browser.tap(300, 180), browser.space())
            ):
                await act
                async with asyncio.timeout(30):
                    while pair.json("left")["done"] < done + 1:
                        await asyncio.sleep(0.1)
                assert pair.json("left")["done"] == done + 1
            shot = await browser.ask("Page.captureScreenshot")
            own = address.rpartition("/")[0]
            elsewhere = [one for one in browser.requested if not one.startswith((own, "data:"))]
    Path(os.environ.get("SHOT", tmp_path / "page.png")).write_bytes(base64.b64decode(shot["data"]))
    assert elsewhere == ["about:blank"] or not elsewhere
    assert browser.requested
