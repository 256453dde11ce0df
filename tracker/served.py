"""The same screens in a browser, on a tablet beside the chair, by the framework's own server.

The server is an extra (`pip install '.[tablet]'`). Its page loads nothing from elsewhere. Each page is a
process of its own; the address holds a key that nobody can guess, and only a page from here opens one.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Awaitable, Callable, Sequence
from pathlib import Path
from typing import Any

LOOPBACK = "127.0.0.1"
"""This machine alone."""
PORT = 8642
"""Where it listens unless told otherwise."""
USUAL_PORT = 80
"""The one that no browser names."""


def is_served() -> bool:
    """Whether this process shows its screens in a browser."""
    return os.environ.get("TEXTUAL_DRIVER", "").endswith(":WebDriver")


def command_line(words: Sequence[str]) -> str:
    """The line that starts Instep with these words, for the shell of this system."""
    import shlex
    import subprocess

    given = [sys.executable, "-m", "tracker", *words]
    return subprocess.list2cmdline(given) if os.name == "nt" else shlex.join(given)


class Served:
    """What is served where: the line that starts the screens, the address and its key."""

    def __init__(self, line: str, host: str, port: int, key: str | None = None) -> None:
        import secrets

        self.line, self.host, self.port = line, host, port
        self.key = key or secrets.token_urlsafe(16)

    @property
    def origin(self) -> str:
        """Where pages come from, as a browser tells it."""
        named = f"[{self.host}]" if ":" in self.host else self.host
        return f"http://{named}" if self.port == USUAL_PORT else f"http://{named}:{self.port}"

    @property
    def address(self) -> str:
        """What to open in a browser."""
        return f"{self.origin}/{self.key}"


def serve(served: Served) -> None:
    """Serve until ctrl+c. Raises ImportError where the extra is missing, OSError where the port is taken."""
    _server(served).serve()


def _server(served: Served) -> Any:
    """The framework's server, with a page of ours, a key in the address, and no voice of its own."""
    import aiohttp_jinja2
    import jinja2
    from aiohttp import web
    from textual_serve.server import Server

    pages: list[web.Request] = []

    @web.middleware
    async def only_from_here(
        request: web.Request, handler: Callable[[web.Request], Awaitable[web.StreamResponse]]
    ) -> web.StreamResponse:
        """No page of another site reaches it: not by its own name for this machine, nor by a socket."""
        if f"http://{request.host}" != served.origin:
            raise web.HTTPForbidden
        if request.headers.get("Origin", served.origin) != served.origin:
            raise web.HTTPForbidden
        return await handler(request)

    async def with_headers(request: web.Request, answer: web.StreamResponse) -> None:
        """Every answer has them, that which refuses, too."""
        answer.headers.update(_HEADERS)

    class Quiet(Server):
        def initialize_logging(self) -> None:
            """Nothing is logged."""

        async def on_startup(self, app: web.Application) -> None:
            """Nothing is said: the command has told the address."""

        async def handle_websocket(self, request: web.Request) -> web.WebSocketResponse:
            """A page; it is known as long as it is open."""
            pages.append(request)
            try:
                return await super().handle_websocket(request)
            finally:
                pages[:] = [page for page in pages if page is not request]

        async def on_shutdown(self, app: web.Application) -> None:
            """Who ends the server waits for no page to say good-bye; what each showed ends by itself."""
            for page in [*pages]:
                if page.transport is not None:
                    page.transport.abort()

        async def _make_app(self) -> web.Application:
            app = web.Application(middlewares=[only_from_here])
            app.on_response_prepare.append(with_headers)
            app.on_shutdown.append(self.on_shutdown)
            aiohttp_jinja2.setup(app, loader=jinja2.FileSystemLoader(self.templates_path))
            app.add_routes(
                [
                    web.get(f"/{served.key}", self.handle_index, name="index"),
                    web.get(f"/{served.key}/ws", self.handle_websocket, name="websocket"),
                    web.static("/static", self.statics_path, name="static"),
                ]
            )
            return app

    return Quiet(
        served.line, served.host, served.port, "Instep", served.origin,
        templates_path=Path(__file__).parent / "served_page",
    )  # fmt: skip


_HEADERS = {
    "Content-Security-Policy": (
        "default-src 'self'; style-src 'self' 'unsafe-inline'; script-src 'self'; img-src 'self' data:; "
        "connect-src 'self'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'"
    ),
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
    "Cache-Control": "no-store",
    "Server": "instep",
}
"""The key stays in the address; nothing is loaded from elsewhere, and no other page frames it."""
