"""Who gets through to the page's server, and who does not."""

import asyncio
from typing import Any

import pytest

from linkage.page.guard import HEADERS, MOST_BODY, Guard

PORT = 45678
OWN = f"127.0.0.1:{PORT}"
Head = dict[str, str]


async def inner(scope: Any, receive: Any, send: Any) -> None:
    """Take a whole body, then say yes."""
    if scope["type"] == "websocket":
        await receive()
        await send({"type": "websocket.accept"})
        return
    while (await receive()).get("more_body"):
        pass
    head = [(b"content-type", b"text/plain"), (b"Referrer-Policy", b"unsafe-url")]
    await send({"type": "http.response.start", "status": 200, "headers": head})
    await send({"type": "http.response.body", "body": b"in"})


def guard() -> Guard:
    return Guard(inner, port=PORT)


def call(
    guard: Guard,
    head: Head | list[tuple[str, str]],
    *,
    method: str = "GET",
    path: str = "/",
    query: str = "",
    kind: str = "http",
    client: tuple[str, int] | None = ("127.0.0.1", 5),
    bodies: tuple[bytes, ...] = (b"",),
) -> list[dict[str, Any]]:
    """Return what the guard and what is behind it answer."""
    pairs = head.items() if isinstance(head, dict) else head
    scope = {
        "type": kind,
        "path": path,
        "query_string": query.encode(),
        "headers": [(key.encode(), said.encode()) for key, said in pairs],
        "client": client,
    }
    if kind == "http":
        scope["method"] = method
    parts = list(bodies)
    said: list[dict[str, Any]] = []

    async def receive() -> dict[str, Any]:
        if kind == "websocket":
            return {"type": "websocket.connect"}
        return {"type": "http.request", "body": parts.pop(0), "more_body": bool(parts)}

    async def send(message: Any) -> None:
        said.append(message)

    asyncio.run(guard(scope, receive, send))
    return said


def status(said: list[dict[str, Any]]) -> int:
    if said[0]["type"] == "websocket.close":
        return 403
    return 101 if said[0]["type"] == "websocket.accept" else int(said[0]["status"])


def cookie(guard: Guard) -> str:
    """Return the cookie that the printed address is swapped for."""
    said = call(guard, {"host": OWN}, query=f"token={guard.token}")
    assert status(said) == 303
    head = dict(said[0]["headers"])
    assert head[b"location"] == b"/"
    given = head[b"set-cookie"].decode()
    assert set(given.split("; ")[1:]) == {"Path=/", "HttpOnly", "SameSite=Strict"}
    assert guard.token not in given
    return str(given.split("; ")[0])


def test_the_token_is_swapped_for_a_cookie_named_per_port() -> None:
    one = guard()
    own = cookie(one)
    assert own.startswith(f"footwell_{PORT}=")
    assert status(call(one, {"host": OWN, "cookie": f"a=b; {own}; c=d"})) == 200


def test_what_a_browser_is_started_with_is_good_once() -> None:
    one = guard()
    once = f"token={one.once}"
    assert status(call(one, {"host": OWN}, query=once)) == 303
    assert status(call(one, {"host": OWN}, query=once)) == 403
    assert status(call(one, {"host": OWN}, query="token=")) == 403


@pytest.mark.parametrize("query", ["", "token=", "token=x", "token=é", "Token={}"])
def test_without_the_token_nobody_gets_in(query: str) -> None:
    one = guard()
    said = call(one, {"host": OWN}, query=query.format(one.token))
    assert status(said) == 403
    assert b"token" in said[1]["body"]


def test_a_token_is_taken_at_the_front_door_only() -> None:
    one = guard()
    query = f"token={one.token}"
    assert status(call(one, {"host": OWN}, query=query, path="/static/app.js")) == 403
    assert status(call(one, {"host": OWN}, query=f"{query}&{query}")) == 403
    assert status(call(one, {"host": "evil.example"}, query=query)) == 403
    away = call(one, {"host": OWN}, query=query, client=("192.0.2.7", 5))
    assert status(away) == 403


def test_the_cookie_of_another_server_is_no_good() -> None:
    assert status(call(guard(), {"host": OWN, "cookie": cookie(guard())})) == 403


@pytest.mark.parametrize(
    ("host", "through"),
    [
        (OWN, True),
        (f"localhost:{PORT}", True),
        ("127.0.0.1", False),
        (f"127.0.0.1:{PORT + 1}", False),
        (f"evil.example:{PORT}", False),
        (f"127.0.0.1.evil.example:{PORT}", False),
        ("", False),
    ],
)
def test_only_its_own_name(host: str, through: bool) -> None:
    one = guard()
    said = call(one, {"host": host, "cookie": cookie(one)})
    assert status(said) == (200 if through else 403)


def test_one_host_and_no_more() -> None:
    one = guard()
    own = ("cookie", cookie(one))
    assert status(call(one, [own])) == 403
    assert status(call(one, [own, ("host", OWN), ("host", OWN)])) == 403


def test_only_this_machine() -> None:
    one = guard()
    head = {"host": OWN, "cookie": cookie(one)}
    assert status(call(one, head, client=("10.0.0.9", 4))) == 403
    assert status(call(one, head, client=None)) == 403


ORIGINS = [
    (f"http://{OWN}", True),
    (f"http://localhost:{PORT}", False),  # not the host that was called
    (f"https://{OWN}", False),
    ("http://evil.example", False),
    ("null", False),
    (None, False),
]


@pytest.mark.parametrize(("origin", "through"), ORIGINS)
def test_a_socket_comes_from_its_own_page(origin: str | None, through: bool) -> None:
    one = guard()
    head = {"host": OWN, "cookie": cookie(one)}
    head |= {} if origin is None else {"origin": origin}
    said = call(one, head, kind="websocket", path="/live")
    assert status(said) == (101 if through else 403)


@pytest.mark.parametrize(("origin", "through"), ORIGINS)
def test_a_change_comes_from_its_own_page(origin: str | None, through: bool) -> None:
    one = guard()
    head = {"host": OWN, "cookie": cookie(one), "content-type": "application/json"}
    head |= {} if origin is None else {"origin": origin}
    said = call(one, head, method="POST", path="/load")
    assert status(said) == (200 if through else 403)


def test_a_socket_needs_the_cookie() -> None:
    head = {"host": OWN, "origin": f"http://{OWN}"}
    assert status(call(guard(), head, kind="websocket", path="/live")) == 403


@pytest.mark.parametrize(
    ("kind", "code"),
    [
        ("application/json", 200),
        ("Application/JSON; charset=utf-8", 200),
        ("text/plain", 415),
        ("application/x-www-form-urlencoded", 415),
        ("multipart/form-data", 415),
        ("", 415),
    ],
)
def test_what_is_sent_is_json(kind: str, code: int) -> None:
    """A plain HTML form of another site can send none."""
    one = guard()
    head = {"host": OWN, "cookie": cookie(one), "origin": f"http://{OWN}"}
    said = call(one, head | {"content-type": kind}, method="POST", path="/load")
    assert status(said) == code


@pytest.mark.parametrize("method", ["PUT", "DELETE", "OPTIONS", "PATCH", "TRACE"])
def test_other_methods(method: str) -> None:
    one = guard()
    head = {"host": OWN, "cookie": cookie(one), "origin": f"http://{OWN}"}
    assert status(call(one, head, method=method)) == 405


def test_a_body_has_an_end() -> None:
    one = guard()
    head = {"host": OWN, "cookie": cookie(one), "origin": f"http://{OWN}"}
    head |= {"content-type": "application/json"}
    part = b"x" * (MOST_BODY // 2)
    fits = call(one, head, method="POST", bodies=(part, part))
    assert status(fits) == 200
    longer = call(one, head, method="POST", bodies=(part, part, b"x"))
    assert status(longer) == 413
    for said in (str(MOST_BODY + 1), "-1", "many"):
        told = call(one, head | {"content-length": said}, method="POST")
        assert status(told) == 413


def test_the_policy_is_on_every_answer() -> None:
    one = guard()
    head = {"host": OWN, "cookie": cookie(one)}
    for said in (call(one, head), call(one, {"host": "x"}), call(one, {"host": OWN})):
        given = [(key.lower(), value) for key, value in said[0]["headers"]]
        for pair in HEADERS:
            assert given.count(pair) == 1
        assert len({key for key, _ in given}) == len(given)
    policy = dict(HEADERS)[b"content-security-policy"].decode()
    assert policy.startswith("default-src 'none';")
    assert "unsafe" not in policy
