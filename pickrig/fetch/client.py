"""Asking a public service with good manners: saying who asks, no more often than it likes."""

import time
from collections.abc import Mapping
from dataclasses import dataclass
from types import TracebackType
from typing import TYPE_CHECKING, Any, Self
from urllib.parse import urlsplit

from pickrig import __version__
from pickrig.errors import InputError
from pickrig.facts import Said
from pickrig.rulebook import Rules

if TYPE_CHECKING:
    import httpx

_SPENT = 500  # from here on a status is the service's own fault
_LARGEST = 60_000_000  # bytes of one answer


@dataclass(frozen=True)
class Answer:
    """text: what came; None where there was nothing new. modified: the service's own stamp, to ask with next time."""

    text: str | None
    modified: str = ""


class Client:
    """contact: an address at which the service may reach whoever asks; sent along with every request."""

    def __init__(self, rules: Rules, contact: str = "") -> None:
        try:
            import httpx
        except ImportError as error:
            raise InputError([Said("fault.no_net")]) from error
        own = rules.services.patience
        self._tries, self._pause = round(own["tries"].value), own["pause"].value
        agent = f"pickrig/{__version__}" + (f" ({contact})" if contact else "")
        self._own = httpx
        self._client = httpx.Client(
            headers={"User-Agent": agent},
            timeout=httpx.Timeout(own["answers"].value, connect=own["connects"].value),
            follow_redirects=True,
        )

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._client.close()

    def get(self, url: str, query: Mapping[str, Any] | None = None, since: str = "") -> Answer:
        """The answer's text. Raises InputError, one sentence whatever went wrong."""
        return self._ask("GET", url, params=query, headers={"If-Modified-Since": since} if since else None)

    def post(self, url: str, json: Mapping[str, str]) -> Answer:
        return self._ask("POST", url, json=json)

    def _ask(self, method: str, url: str, **what: Any) -> Answer:
        for left in reversed(range(self._tries)):
            try:
                return self._once(method, url, **what)
            except _LaterError as later:
                if not left:
                    raise InputError([later.said]) from later
                time.sleep(self._pause)
        raise AssertionError(method)

    def _once(self, method: str, url: str, **what: Any) -> Answer:
        host, httpx = urlsplit(url).hostname or url, self._own
        try:
            with self._client.stream(method, url, **what) as reply:
                return _read(reply, host)
        except httpx.TimeoutException as error:
            raise _LaterError(Said("fault.net_slow", host=host)) from error
        except (httpx.RemoteProtocolError, httpx.ReadError) as error:
            raise _LaterError(Said("fault.net_cut", host=host)) from error
        except (httpx.HTTPError, httpx.InvalidURL) as error:
            raise InputError([Said("fault.net_none", host=host)]) from error


class _LaterError(Exception):
    """It may work when it is asked again."""

    def __init__(self, said: Said) -> None:
        super().__init__(said.key)
        self.said = said


def _read(reply: "httpx.Response", host: str) -> Answer:
    status = reply.status_code
    if status == 304:
        return Answer(None, reply.headers.get("Last-Modified", ""))
    if status >= _SPENT:
        raise _LaterError(Said("fault.net_down", host=host, status=str(status)))
    if status in (403, 429):
        raise InputError([Said("fault.net_refused", host=host, status=str(status))])
    if status >= 300:
        raise InputError([Said("fault.net_status", host=host, status=str(status))])
    parts, size = [], 0
    for part in reply.iter_bytes():
        size += len(part)
        if size > _LARGEST:
            raise InputError([Said("fault.net_strange", host=host)])
        parts.append(part)
    try:
        return Answer(b"".join(parts).decode("utf-8-sig"), reply.headers.get("Last-Modified", ""))
    except UnicodeDecodeError as error:
        raise InputError([Said("fault.net_strange", host=host)]) from error
