"""Who may talk to the desk: this machine's own browser, from the desk's own pages, in small letters."""

from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any

Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Message, Receive, Send], Awaitable[None]]

LARGEST_FORM = 256_000  # bytes; a form of every question is a hundredth of it
TOO_LARGE = "That is more than a form holds."
_NAMES = ("127.0.0.1", "localhost", "[::1]")
_WEB = 80
_PAGE = (
    "default-src 'none'; style-src 'self' 'unsafe-inline'; script-src 'self'; connect-src 'self'; img-src data:; "
    "form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
)
_HEADERS = {
    "content-security-policy": _PAGE,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "cache-control": "no-store",
}


class TooLargeError(Exception):
    """More was sent than any form holds."""


class Guard:
    """Refuses other hosts (421), posts from other sites (403) and large bodies (413); adds headers to every answer.

    A page elsewhere could make a browser on this machine post here, or point its own name at 127.0.0.1: the Host and
    Origin headers tell.
    """

    def __init__(self, app: App, port: int) -> None:
        self.app = app
        self.hosts = {f"{name}:{port}" for name in _NAMES}
        self.hosts |= set(_NAMES) if port == _WEB else set()  # a browser leaves the web's own port out
        self.origins = {f"http://{host}" for host in self.hosts}

    async def __call__(self, scope: Message, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = {name.lower(): value for name, value in scope["headers"]}
        refusal = self._refusal(scope["method"], headers)
        if refusal is not None:
            await _say(send, *refusal)
            return

        async def guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                own = [(key.encode(), value.encode()) for key, value in _HEADERS.items()]
                message = {**message, "headers": [*message.get("headers", []), *own]}
            await send(message)

        await self.app(scope, _counted(receive), guarded)

    def _refusal(self, method: str, headers: dict[bytes, bytes]) -> tuple[int, str] | None:
        if headers.get(b"host", b"").decode("latin-1").lower() not in self.hosts:
            return 421, "The desk answers only under 127.0.0.1 on this machine."
        if method not in ("GET", "HEAD", "POST"):
            return 405, "Only reading and posting forms."
        if method == "POST" and headers.get(b"origin", b"").decode("latin-1").lower() not in self.origins:
            return 403, "Forms are taken only from the desk's own pages."
        length = headers.get(b"content-length", b"0")
        if not length.isdigit() or len(length) > 9 or int(length) > LARGEST_FORM:
            return 413, TOO_LARGE
        return None


def _counted(receive: Receive) -> Receive:
    """What is sent without a length is counted as it comes."""
    total = 0

    async def counted() -> Message:
        nonlocal total
        message = await receive()
        total += len(message.get("body", b""))
        if total > LARGEST_FORM:
            raise TooLargeError
        return message

    return counted


async def _say(send: Send, status: int, text: str) -> None:
    body = text.encode()
    headers = [(b"content-type", b"text/plain; charset=utf-8"), (b"content-length", str(len(body)).encode())]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body})
