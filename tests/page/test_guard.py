"""Who may ask what: the key of this run, the server's own address, no other site, no flood."""

from __future__ import annotations

from pathlib import Path

import pytest
from starlette.testclient import TestClient

from deckclause.page import app
from page.pages import HOST, KEY, client, opened

STATIC = Path(app.__file__).parent / "static"
ROUTES = (
    *("start", "open", "evaluate", "topic", "place", "save", "keep", "download", "relief"),
    *("request", "request-form", "request-check", "two", "choosing", "strictest", "layout"),
    *("witness-start", "witness-open", "witness-keep"),
    *("clauses", "amend"),
)


@pytest.fixture
def page(tmp_path: Path) -> TestClient:
    return client(tmp_path)


@pytest.mark.parametrize("route", ROUTES)
@pytest.mark.parametrize("key", ["", "another run's", KEY[:-1], KEY + "x", "ключ"])
def test_no_request_is_answered_without_the_key(page: TestClient, route: str, key: str) -> None:
    answer = page.post(f"/api/{route}", json={}, headers={"x-deckclause-key": key.encode()})
    assert answer.status_code == 401
    assert set(answer.json()) == {"refused"}


def test_every_route_of_the_application_is_in_this_list(page: TestClient) -> None:
    found = {r.path for r in page.app.app.routes if r.path.startswith("/api/")}  # type: ignore[attr-defined]
    assert found == {f"/api/{name}" for name in ROUTES}


def test_the_word_a_browser_is_started_with_opens_once_and_brings_the_key(
    page: TestClient,
) -> None:
    once = {"x-deckclause-key": page.app.open_once()}  # type: ignore[attr-defined]
    elsewhere = page.post("/api/start", json={}, headers={**once, "origin": "http://evil.example"})
    assert elsewhere.status_code == 403
    assert "x-deckclause-key" not in elsewhere.headers
    assert page.post("/api/start", json={}, headers=once).status_code == 401  # it has been tried

    once = {"x-deckclause-key": page.app.open_once()}  # type: ignore[attr-defined]
    first = page.post("/api/start", json={}, headers=once)
    assert first.status_code == 200
    assert first.headers["x-deckclause-key"] == KEY
    assert page.post("/api/start", json={}, headers=once).status_code == 401
    assert "x-deckclause-key" not in page.post("/api/start", json={}).headers


@pytest.mark.parametrize(
    "host",
    ["evil.example", "evil.example:8321", "127.0.0.1", "127.0.0.1:9999", f"{HOST}.evil.example"],
)
@pytest.mark.parametrize("path", ["/", "/static/main.js", "/api/start"])
def test_a_name_made_to_point_here_is_refused(page: TestClient, host: str, path: str) -> None:
    ask = page.post if path.startswith("/api") else page.get
    assert ask(path, headers={"host": host}).status_code == 421


@pytest.mark.parametrize("origin", ["http://evil.example", "null", "https://127.0.0.1:8321"])
def test_another_site_is_refused_even_with_the_key(page: TestClient, origin: str) -> None:
    assert page.post("/api/start", json={}, headers={"origin": origin}).status_code == 403


@pytest.mark.parametrize("site", ["cross-site", "same-site", "none"])
def test_a_browser_that_says_the_request_is_another_sites_is_believed(
    page: TestClient, site: str
) -> None:
    assert page.post("/api/start", json={}, headers={"sec-fetch-site": site}).status_code == 403


def test_the_page_itself_is_answered(page: TestClient) -> None:
    headers = {"origin": f"http://{HOST}", "sec-fetch-site": "same-origin"}
    assert page.post("/api/start", json={}, headers=headers).status_code == 200


def test_a_form_of_another_site_cannot_be_sent(page: TestClient) -> None:
    for kind in ("application/x-www-form-urlencoded", "text/plain", "multipart/form-data"):
        answer = page.post("/api/start", content=b"{}", headers={"content-type": kind})
        assert answer.status_code == 415


def test_requests_are_posted_and_nothing_else(page: TestClient) -> None:
    for method in ("GET", "PUT", "DELETE", "OPTIONS"):
        assert page.request(method, "/api/start").status_code == 405


def test_what_is_too_large_is_refused_whether_it_says_so_or_not(page: TestClient) -> None:
    body = b'{"source": "text", "text": "' + b"x" * 2_000_000 + b'"}'
    assert page.post("/api/open", content=body).status_code == 413

    def in_pieces():  # type: ignore[no-untyped-def]
        yield from (body[i : i + 65536] for i in range(0, len(body), 65536))

    assert page.post("/api/open", content=in_pieces()).status_code == 413


def test_a_design_over_the_limit_is_refused(page: TestClient) -> None:
    text = "design: 1\n" + "# \u00e9\n" * 260_000
    answer = page.post("/api/open", json={"source": "text", "text": text})
    assert answer.status_code in (400, 413)


@pytest.mark.parametrize(
    "body", [b"", b"[", b"[]", b"null", b'{"source": 1}', b'{"source": "text", "odd": 1}', b"\xff"]
)
def test_a_request_of_another_shape_is_refused(page: TestClient, body: bytes) -> None:
    assert page.post("/api/open", content=body).status_code == 422


def test_nothing_may_run_that_the_page_did_not_bring(page: TestClient) -> None:
    for answer in (page.get("/"), page.get("/static/main.js"), page.post("/api/start", json={})):
        policy = dict(
            part.strip().split(" ", 1)
            for part in answer.headers["content-security-policy"].split(";")
        )
        assert policy["default-src"] == "'none'"
        assert policy["script-src"] == policy["style-src"] == policy["connect-src"] == "'self'"
        assert policy["frame-ancestors"] == policy["form-action"] == policy["base-uri"] == "'none'"
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["referrer-policy"] == "no-referrer"
        assert answer.headers["cache-control"] == "no-store"


def test_the_page_names_nothing_outside_itself(page: TestClient) -> None:
    names = [
        "/",
        *(f"/static/{p.relative_to(STATIC).as_posix()}" for p in STATIC.rglob("*.js")),
        "/static/page.css",
    ]
    assert len(names) > 10
    for name in names:
        text = page.get(name).text
        assert text
        outside = text.replace("http://www.w3.org/2000/svg", "")
        assert "http://" not in outside
        assert "https://" not in outside
        assert "@import" not in text
    html = page.get("/").text
    assert "<style" not in html
    assert "style=" not in html
    assert " onclick=" not in html
    assert KEY not in html


@pytest.mark.parametrize(
    "path",
    ["/static/../app.py", "/static/%2e%2e/app.py", "/static/..%2fapp.py", "/static//etc/passwd"],
)
def test_only_the_pages_own_files_are_served(page: TestClient, path: str) -> None:
    assert page.get(path).status_code == 404


def test_script_in_a_designs_name_is_text(page: TestClient) -> None:
    design = opened(page)["design"]
    script = "<script>alert(1)</script><img src=x onerror=alert(1)>"
    design["name"] = design["says"] = script
    design["parts"]["doors"][0]["name"] = script
    design["facts"]["ledger.size"] = script
    asked = {"design": design, "under": ["irc-2012", "irc-2021"]}
    answer = page.post("/api/evaluate", json={**asked, "matrix": True, "why": True}).json()
    html = [answer["above"], answer["below"], *(card["html"] for card in answer["cards"])]
    html += [row["html"] for row in answer["matrix"]["rows"]] + [answer["board"]["svg"]]
    assert not [text for text in html if "<script" in text or "<img" in text]
    assert "&lt;script&gt;" in "".join(html)
    topic = page.post("/api/topic", json={**asked, "topic": "door_landing_drop"})
    two = page.post(
        "/api/two", json={"before": design, "after": {**design, "name": "x"}, "under": ["irc-2021"]}
    )
    assert two.status_code == 200
    assert "<script" not in two.text
    assert "<script" not in topic.text
