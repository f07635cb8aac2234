"""The routes: one page, its style and scripts, and the requests its scripts send."""

from __future__ import annotations

import json
import socket
from collections.abc import Awaitable, Callable, Iterable
from pathlib import Path
from typing import Any
from urllib.parse import quote

from anyio import CapacityLimiter, to_thread
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from msgspec import Struct, to_builtins
from msgspec.structs import asdict
from pydantic import ValidationError
from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from deckclause.answers.compare.strictest import LIMITS, NO_LIMIT, READ_WHOLE
from deckclause.evaluate.status import status_told
from deckclause.page.amending import NEXT, amend_view, clause_choices
from deckclause.page.bench import Bench
from deckclause.page.board.views import board_data
from deckclause.page.cards import STATUS_CLASS
from deckclause.page.downloads import KINDS, Made, download
from deckclause.page.folder import AlreadyThere
from deckclause.page.form import form_of
from deckclause.page.guard import Guard
from deckclause.page.matrix import MatrixView
from deckclause.page.relieve import relief_view
from deckclause.page.requests import (
    request_choices,
    request_file,
    request_form,
    request_lacks,
)
from deckclause.page.tools import chosen_view, layout_texts, strictest_view
from deckclause.page.two import two_view
from deckclause.page.typed import (
    MAX_ANSWER,
    Asked,
    ToAmend,
    ToDownload,
    ToEvaluate,
    ToExplain,
    ToHoldTwo,
    ToKeep,
    ToListClauses,
    ToOpen,
    ToPlace,
    ToRelieve,
    ToRequest,
    ToSave,
    ToUse,
)
from deckclause.page.witness import ToLookUp, ToRead, books, looked_up, read
from deckclause.page.workers import WorkEnded, Workers, can_fork
from deckclause.report.cautions import CAUTIONS, IN_WORDS
from deckclause.report.choosing.buying import BUYING, rounded
from deckclause.report.choosing.text import NO_PASS
from deckclause.report.choosing.words import WHY, money, options_text, size_text, titles
from deckclause.report.comparison.strictest_document import MARKS
from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.names import rule_set_title
from deckclause.rulesets.problems import InputError

HERE = Path(__file__).parent
PANELS = {
    "board": "Drawing",
    "design": "Form",
    "choosing": "Sizes to buy",
    "two": "Before and after",
    "strictest": "One deck for all",
    "layout": "Fasteners",
    "relief-panel": "Relief",
    "amend": "Amend",
    "files": "Files",
}
"""What stands left of the cards, one at a time, by its place in the page."""
TOOLS = (
    (
        "choosing",
        "Sizes for every rule set the deck is held against, all members together, with what still "
        "fails or is not decided, and what to cut and buy.",
        "Choose sizes",
    ),
    (
        "strictest",
        "What must change to build the same deck under all of them, and the strictest limit of each "
        "topic.",
        "Work it out",
    ),
    (
        "layout",
        "The fewest ledger fasteners that comply, each one's place, and how many to buy.",
        "Lay them out",
    ),
)
"""Panels that work something out when they are asked: the panel, what it is for, its button."""
Handler = Callable[[Request], Awaitable[Response]]


def build_app(
    bench: Bench, key: str, hosts: Iterable[str], shut: tuple[socket.socket, ...] | None = None
) -> Guard:
    """Return the page as an application that answers only under `hosts`, and only with `key`.

    With `shut`, the sockets a worker must not keep, long work is done in processes beside it.
    """
    pages = _Pages(bench)
    if shut is not None and can_fork():
        pages.workers = Workers(pages.work, shut)
    return Guard(pages.application(), key, hosts)


class _Task(Struct, frozen=True):
    """What a request must be, and what is done with it."""

    model: type[Asked]
    work: Callable[[Any], Response]


class _Nothing(Asked):
    """A request that carries nothing."""


def templates() -> Environment:
    """Return the page's templates, every text escaped."""
    found = Environment(
        loader=FileSystemLoader(HERE / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    found.filters["told"] = status_told
    found.filters["rule_set"] = rule_set_title
    found.globals.update(
        titles=titles,
        size_text=size_text,
        why=WHY,
        options_text=options_text,
        rounded=rounded,
        money=money,
    )
    return found


class _Pages:
    """Answers what the page's scripts ask: at once, or in a process beside it."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self.templates = templates()
        self.workers: Workers | None = None
        self.one_at_a_time: CapacityLimiter | None = None
        self.beside: CapacityLimiter | None = None
        self.at_once: dict[str, _Task] = {
            "start": _Task(_Nothing, lambda _: JSONResponse(self.start())),
            "open": _Task(ToOpen, lambda a: JSONResponse(self.bench.open(a))),
            "evaluate": _Task(ToEvaluate, self.evaluate),
            "topic": _Task(ToExplain, self.topic),
            "clauses": _Task(ToListClauses, lambda a: JSONResponse(clause_choices(self.bench, a))),
            "place": _Task(ToPlace, lambda a: JSONResponse(self.bench.place(a.name))),
            "save": _Task(ToSave, lambda a: JSONResponse(self.bench.save(a))),
            "keep": _Task(ToKeep, lambda a: JSONResponse({"draft": self.bench.drafts.keep(a)})),
            "witness-start": _Task(_Nothing, lambda _: JSONResponse(books(self.library))),
            "witness-open": _Task(ToLookUp, lambda a: JSONResponse(looked_up(self.library, a))),
            "witness-keep": _Task(ToRead, lambda a: JSONResponse(read(self.library, a))),
        }
        self.long: dict[str, _Task] = {
            "download": _Task(ToDownload, lambda a: _file(download(self.bench, a))),
            "relief": _Task(ToRelieve, self.relief),
            "request": _Task(ToRequest, lambda a: _file(request_file(self.bench, a))),
            "request-form": _Task(ToRequest, self.request_form),
            "request-check": _Task(ToRequest, self.lacks),
            "two": _Task(ToHoldTwo, self.two),
            "choosing": _Task(ToUse, self.choose),
            "strictest": _Task(ToUse, self.strictest),
            "layout": _Task(ToUse, self.layout),
            "amend": _Task(ToAmend, self.amend),
        }

    def application(self) -> Starlette:
        """Return the routes."""
        at_once = [(name, self._answer(route)) for name, route in self.at_once.items()]
        long = [(name, self._answer_long(name, route)) for name, route in self.long.items()]
        return Starlette(
            routes=[
                Route("/", self.page),
                Route("/witness", self.witness),
                *(Route(f"/api/{name}", go, methods=["POST"]) for name, go in at_once + long),
                Mount("/static", StaticFiles(directory=HERE / "static")),
            ],
            exception_handlers={HTTPException: _not_here},
        )

    def work(self, request: bytes) -> bytes:
        """Do a piece of long work, in a worker: the request's name and body, the answer whole."""
        name, _, body = request.partition(b"\n")
        return _packed(_read_and_done(self.long[name.decode()], body))

    def render(self, template: str, **values: Any) -> str:
        return self.templates.get_template(template).render(**values)

    async def page(self, request: Request) -> Response:
        """The page itself: the form's questions, nothing of any design."""
        del request
        text = self.render(
            "page.html",
            groups=form_of(self.bench.catalogue.vocabulary),
            cautions=CAUTIONS,
            kinds=KINDS,
            panels=PANELS,
            styles=STATUS_CLASS,
            tools=TOOLS,
        )
        return HTMLResponse(text)

    async def witness(self, request: Request) -> Response:
        """The page on which a book is read: nothing of any book before it is asked for."""
        del request
        return HTMLResponse(self.render("witness.html", cautions=CAUTIONS))

    @property
    def library(self) -> RuleLibrary:
        """The rules as written, for who looks them up in the book."""
        return self.bench.catalogue.library

    def _answer(self, route: _Task) -> Handler:
        """Return a handler: read the request, do the work beside the event loop, one at a time."""

        async def answer(request: Request) -> Response:
            body = await request.body()
            if self.one_at_a_time is None:
                self.one_at_a_time = CapacityLimiter(1)
            return await to_thread.run_sync(_read_and_done, route, body, limiter=self.one_at_a_time)

        return answer

    def _answer_long(self, name: str, route: _Task) -> Handler:
        """Return a handler that has the work done in a process beside this one, where it can."""

        async def answer(request: Request) -> Response:
            body = await request.body()
            if self.workers is None:
                if self.beside is None:
                    self.beside = CapacityLimiter(1)
                return await to_thread.run_sync(_read_and_done, route, body, limiter=self.beside)
            try:
                done = await self.workers.run(name.encode() + b"\n" + body, request.is_disconnected)
            except WorkEnded:
                return JSONResponse({"refused": "the work ended before it was done"}, 503)
            return _unpacked(done) if done else Response(status_code=499)

        return answer

    def start(self) -> dict[str, Any]:
        return {**self.bench.start(), "request": request_choices(self.bench)}

    def evaluate(self, asked: ToEvaluate) -> Response:
        found = self.bench.evaluate(asked)
        view = found.view
        board = None
        if found.comparison is not None and asked.section:
            board = board_data(found.comparison, self.bench.catalogue.vocabulary, asked.view)
        cards = view.cards if view else ()
        return JSONResponse(
            {
                "faults": [asdict(fault) for fault in found.read.faults],
                "readings": found.readings,
                "summary": view.summary if view else "",
                "above": self.render("above.html", found=found, view=view),
                "cards": [
                    {
                        "name": card.name,
                        "title": card.title,
                        "status": card.status,
                        "style": card.style,
                        "html": self.render("card.html", card=card, number=number),
                    }
                    for number, card in enumerate(cards, 1)
                ],
                "asked": to_builtins(view.asked) if view else {"words": "", "questions": ()},
                "below": self.render("below.html", view=view, why=found.why),
                "matrix": self.matrix(found.matrix) if found.matrix else None,
                "board": board,
            }
        )

    def matrix(self, view: MatrixView) -> dict[str, Any]:
        template = self.templates.get_template("row.html")
        return {
            "heads": view.heads,
            "parts": view.parts,
            "rows": [
                {
                    "topic": row.topic,
                    "title": row.title,
                    "part": row.part,
                    "statuses": row.statuses,
                    "differs": row.differs,
                    "html": template.render(row=row),
                }
                for row in view.rows
            ],
        }

    def topic(self, asked: ToExplain) -> Response:
        return HTMLResponse(self.render("topic.html", row=self.bench.topic(asked)))

    def two(self, asked: ToHoldTwo) -> Response:
        return HTMLResponse(
            self.render("two.html", two=two_view(self.bench, asked), brief=asked.brief)
        )

    def choose(self, asked: ToUse) -> Response:
        found = chosen_view(self.bench, asked)
        return HTMLResponse(
            self.render(
                "choose.html",
                found=found,
                si=asked.si,
                heads=BUYING,
                no_pass=NO_PASS,
                cautions=CAUTIONS,
            )
        )

    def strictest(self, asked: ToUse) -> Response:
        words = strictest_view(self.bench, asked)
        return HTMLResponse(
            self.render(
                "strictest.html",
                words=words,
                limits=LIMITS,
                read_whole=READ_WHOLE,
                no_limit=NO_LIMIT,
                marks=MARKS,
                cautions=CAUTIONS,
            )
        )

    def amend(self, asked: ToAmend) -> Response:
        found = amend_view(self.bench, asked)
        return HTMLResponse(self.render("amend.html", found=found, next=NEXT, cautions=CAUTIONS))

    def layout(self, asked: ToUse) -> Response:
        return HTMLResponse(self.render("layout.html", texts=layout_texts(self.bench, asked)))

    def relief(self, asked: ToRelieve) -> Response:
        return HTMLResponse(
            self.render("relief.html", relief=relief_view(self.bench, asked), cautions=IN_WORDS)
        )

    def request_form(self, asked: ToRequest) -> Response:
        found = request_form(self.bench, asked)
        choices = self.render("relief_choices.html", choices=found.choices)
        if found.form is None:
            return JSONResponse({"choices": choices, "form": ""})
        form = found.form
        return JSONResponse(
            {
                "choices": choices,
                "text": form.text,
                "settings": {**form.settings, "relief": asked.relief},
                "form": self.render("request_form.html", view=form.view, most=MAX_ANSWER),
                "lacks": self.render("lacks.html", checked=form.checked),
                "left_out": [item.clause for item in form.left_out],
            }
        )

    def lacks(self, asked: ToRequest) -> Response:
        return HTMLResponse(self.render("lacks.html", checked=request_lacks(self.bench, asked)))


def _file(made: Made) -> Response:
    name = quote(made.name)
    headers = {"content-disposition": "attachment", "x-file-name": name}
    return Response(made.content, media_type=made.media_type, headers=headers)


def _read_and_done(route: _Task, body: bytes) -> Response:
    """Read what was asked and do it; bad input is an answer, not a crash."""
    try:
        asked = route.model.model_validate_json(body or b"{}")
    except ValidationError as fault:
        first = fault.errors()[0]
        where = ".".join(map(str, first["loc"]))
        return JSONResponse({"refused": f"{where}: {first['msg']}"}, 422)
    try:
        return route.work(asked)
    except AlreadyThere as there:
        return JSONResponse(
            {"already_there": there.name, "digest": there.digest, "kept": there.kept}, 409
        )
    except InputError as fault:
        return JSONResponse({"problems": [str(p) for p in fault.problems]}, 400)


def _packed(response: Response) -> bytes:
    head = {"status": response.status_code, "headers": dict(response.headers)}
    return json.dumps(head).encode() + b"\n" + bytes(response.body)


def _unpacked(answer: bytes) -> Response:
    head, _, body = answer.partition(b"\n")
    told = json.loads(head)
    return Response(body, told["status"], told["headers"])


async def _not_here(request: Request, fault: Exception) -> Response:
    del request
    status = fault.status_code if isinstance(fault, HTTPException) else 500
    return JSONResponse({"refused": "there is nothing here"}, status)
