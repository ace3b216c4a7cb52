"""Who may talk to the server: this user's own page, and nobody else.

A pure ASGI layer around the whole application, for http and sockets alike. It lets a
call through when it comes from this machine, names this server as its host, carries
the cookie that the address with the token was swapped for, and (for every socket and
for whatever is no plain reading) comes from this server's own page. It knows nothing
of what is served.

Conventions: ASGI 3; header names in small letters, as bytes.
"""

import hmac
import secrets
from collections.abc import Iterable
from http import HTTPStatus
from typing import TYPE_CHECKING
from urllib.parse import parse_qs

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Message, Receive, Scope, Send

#: The largest body of a call: a file of 1 MB as JSON, with room for its quoting.
MOST_BODY = 2_000_000
READING = ("GET", "HEAD")
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; "
    "img-src 'self' data: blob:; base-uri 'none'; form-action 'none'; "
    "frame-ancestors 'none'"
)
#: On every answer, refusals too.
HEADERS: tuple[tuple[bytes, bytes], ...] = (
    (b"content-security-policy", POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cache-control", b"no-store"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
)
STRANGER = "Open the whole address that footwell printed: this call lacks its token."


class TooLargeError(Exception):
    """A body went on beyond what is taken."""


class Guard:
    """Stands before an application and lets this user's own page through.

    Parameters
    ----------
    app : ASGI application
    port : int
        Where the server listens, on 127.0.0.1.

    Attributes
    ----------
    token : str
        Part of the address that is printed; good as long as the server runs.
    once : str
        Part of the address that a browser is started with; good for one call, since
        other users of the machine can see how a program was started.
    """

    def __init__(self, app: "ASGIApp", *, port: int) -> None:
        self.app = app
        self.token, self.once, self._cookie = (secrets.token_urlsafe(24) for _ in "abc")
        self.cookie_name = f"footwell_{port}"
        self._hosts = {f"127.0.0.1:{port}".encode(), f"localhost:{port}".encode()}

    async def __call__(self, scope: "Scope", receive: "Receive", send: "Send") -> None:
        """Let a call through, swap its token for the cookie, or refuse it."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        send = _with_headers(send)
        if self._takes_token(scope):
            await _answer(send, 303, "", self._swap())
            return
        refused = self._refusal(scope)
        if refused is None:
            await self._pass(scope, receive, send)
        elif scope["type"] == "websocket":
            await receive()
            await send({"type": "websocket.close", "code": 1008, "reason": refused[1]})
        else:
            await _answer(send, *refused)

    def _swap(self) -> list[tuple[bytes, bytes]]:
        cookie = f"{self.cookie_name}={self._cookie}; Path=/; HttpOnly; SameSite=Strict"
        return [(b"location", b"/"), (b"set-cookie", cookie.encode())]

    def _takes_token(self, scope: "Scope") -> bool:
        """Whether a call is the first one, by an address with a token."""
        if scope["type"] != "http" or scope["path"] != "/" or not self._is_near(scope):
            return False
        said = parse_qs(scope["query_string"].decode("latin-1")).get("token", [])
        if len(said) != 1 or scope["method"] not in READING:
            return False
        if self.once and _same(said[0], self.once):
            self.once = ""
            return True
        return _same(said[0], self.token)

    def _is_near(self, scope: "Scope") -> bool:
        """Whether a call comes from this machine and names this server."""
        client = scope.get("client")
        hosts = _all(scope, b"host")
        near = client is not None and client[0] == "127.0.0.1"
        return near and len(hosts) == 1 and hosts[0] in self._hosts

    def _refusal(self, scope: "Scope") -> tuple[int, str] | None:
        """Return why a call is refused, as status and sentence."""
        if not self._is_near(scope):
            return 403, "This server answers its own machine, under its own name."
        method = scope.get("method", "")
        if scope["type"] == "websocket" or method not in READING:
            own = b"http://" + _all(scope, b"host")[0]
            if _all(scope, b"origin") != [own]:
                return 403, "Only the page that this server showed may do that."
        if not any(_same(said, self._cookie) for said in self._cookies(scope)):
            return 403, STRANGER
        if scope["type"] == "websocket" or method in READING:
            return None
        return _writing_refusal(scope)

    def _cookies(self, scope: "Scope") -> Iterable[str]:
        for line in _all(scope, b"cookie"):
            for pair in line.decode("latin-1").split(";"):
                name, _, said = pair.strip().partition("=")
                if name == self.cookie_name:
                    yield said

    async def _pass(self, scope: "Scope", receive: "Receive", send: "Send") -> None:
        """Call the application; end a call whose body goes on and on."""
        begun = False

        async def told(message: "Message") -> None:
            nonlocal begun
            begun = True
            await send(message)

        try:
            await self.app(scope, _bounded(receive), told)
        except TooLargeError:
            if not begun:
                await _answer(send, 413, "That is larger than 1 MB. No design file is.")


def _writing_refusal(scope: "Scope") -> tuple[int, str] | None:
    """Return why a call that changes something is refused by its form."""
    if scope["method"] != "POST":
        return 405, "This server is read with GET and written to with POST."
    kind = b"".join(_all(scope, b"content-type")).partition(b";")[0]
    if kind.strip().lower() != b"application/json":
        return 415, "Send JSON, as application/json."
    lengths = _all(scope, b"content-length")
    if any(not said.isdigit() or int(said) > MOST_BODY for said in lengths):
        return 413, "That is larger than 1 MB. No design file is."
    return None


def _all(scope: "Scope", name: bytes) -> list[bytes]:
    return [said for key, said in scope["headers"] if key.lower() == name]


def _same(said: str, kept: str) -> bool:
    return hmac.compare_digest(said.encode(), kept.encode())


def _with_headers(send: "Send") -> "Send":
    """Return ``send`` with the policy on every answer."""

    async def told(message: "Message") -> None:
        if message["type"] == "http.response.start":
            ours = {name for name, _ in HEADERS}
            kept = [pair for pair in message["headers"] if pair[0].lower() not in ours]
            message = {**message, "headers": [*kept, *HEADERS]}
        await send(message)

    return told


def _bounded(receive: "Receive") -> "Receive":
    """Return ``receive`` that stops at a body beyond `MOST_BODY`."""
    taken = 0

    async def heard() -> "Message":
        nonlocal taken
        message = await receive()
        if message["type"] == "http.request":
            taken += len(message.get("body", b""))
            if taken > MOST_BODY:
                raise TooLargeError
        return message

    return heard


async def _answer(
    send: "Send",
    status: int,
    sentence: str,
    headers: Iterable[tuple[bytes, bytes]] = (),
) -> None:
    """Answer with a sentence as plain text."""
    text = f"{sentence or HTTPStatus(status).phrase}\n".encode()
    kind = (b"content-type", b"text/plain; charset=utf-8")
    length = (b"content-length", str(len(text)).encode())
    start = {"type": "http.response.start", "status": status}
    await send({**start, "headers": [kind, length, *headers]})
    await send({"type": "http.response.body", "body": text})
