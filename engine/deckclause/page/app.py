"""The routes: one page, its style and scripts, and the requests its scripts send."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Iterable
from dataclasses import asdict
from functools import partial
from pathlib import Path
from typing import Any, TypeVar
from urllib.parse import quote

from anyio import CapacityLimiter, to_thread
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup
from pydantic import BaseModel, ValidationError
from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from deckclause.page.bench import Bench
from deckclause.page.downloads import KINDS, Made, download
from deckclause.page.folder import AlreadyThere
from deckclause.page.form import form_of
from deckclause.page.guard import Guard
from deckclause.page.relieve import relief_view
from deckclause.page.requests import (
    request_choices,
    request_file,
    request_form,
    request_lacks,
)
from deckclause.page.typed import (
    MAX_ANSWER,
    Asked,
    ToDownload,
    ToEvaluate,
    ToExplain,
    ToOpen,
    ToPlace,
    ToRelieve,
    ToRequest,
    ToSave,
)
from deckclause.report.cautions import CAUTIONS
from deckclause.rulesets.problems import InputError

HERE = Path(__file__).parent
Body = TypeVar("Body", bound=BaseModel)
Handler = Callable[[Request], Awaitable[Response]]


def build_app(bench: Bench, key: str, hosts: Iterable[str]) -> Guard:
    """Return the page as an application that answers only under `hosts`, and only with `key`."""
    return Guard(_Pages(bench).application(), key, hosts)


class _Nothing(Asked):
    """A request that carries nothing."""


class _Pages:
    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self.templates = Environment(
            loader=FileSystemLoader(HERE / "templates"),
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
        )
        self.one_at_a_time: CapacityLimiter | None = None

    def application(self) -> Starlette:
        answers: dict[str, Handler] = {
            "start": self._answer(_Nothing, lambda _: JSONResponse(self.start())),
            "open": self._answer(ToOpen, lambda a: JSONResponse(self.bench.open(a))),
            "evaluate": self._answer(ToEvaluate, self.evaluate),
            "topic": self._answer(ToExplain, self.topic),
            "place": self._answer(ToPlace, lambda a: JSONResponse(self.bench.place(a.name))),
            "save": self._answer(ToSave, lambda a: JSONResponse(self.bench.save(a))),
            "download": self._answer(ToDownload, lambda a: _file(download(self.bench, a))),
            "relief": self._answer(ToRelieve, self.relief),
            "request": self._answer(ToRequest, lambda a: _file(request_file(self.bench, a))),
            "request-form": self._answer(ToRequest, self.request_form),
            "request-check": self._answer(ToRequest, self.lacks),
        }
        routes = [
            Route(f"/api/{name}", answer, methods=["POST"]) for name, answer in answers.items()
        ]
        return Starlette(
            routes=[
                Route("/", self.page),
                *routes,
                Mount("/static", StaticFiles(directory=HERE / "static")),
            ],
            exception_handlers={HTTPException: _not_here},
        )

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
        )
        return HTMLResponse(text)

    def _answer(self, model: type[Body], work: Callable[[Body], Response]) -> Handler:
        """Return a handler: read the request, do the work beside the event loop, one at a time."""

        async def answer(request: Request) -> Response:
            try:
                asked = model.model_validate_json(await request.body() or b"{}")
            except ValidationError as fault:
                first = fault.errors()[0]
                where = ".".join(map(str, first["loc"]))
                return JSONResponse({"refused": f"{where}: {first['msg']}"}, 422)
            if self.one_at_a_time is None:
                self.one_at_a_time = CapacityLimiter(1)
            return await to_thread.run_sync(partial(_done, work, asked), limiter=self.one_at_a_time)

        return answer

    def start(self) -> dict[str, Any]:
        return {**self.bench.start(), "request": request_choices(self.bench)}

    def evaluate(self, asked: ToEvaluate) -> Response:
        found = self.bench.evaluate(asked)
        drawn = None
        if found.comparison is not None:
            drawn = self.bench.drawn(found.comparison, asked.drawn)
        text = self.render(
            "results.html",
            found=found,
            view=found.view,
            drawn=drawn,
            drawing=Markup(drawn.svg) if drawn else "",
        )
        return JSONResponse(
            {
                "faults": [asdict(fault) for fault in found.read.faults],
                "readings": found.readings,
                "summary": found.view.summary if found.view else "",
                "results": text,
            }
        )

    def topic(self, asked: ToExplain) -> Response:
        return HTMLResponse(self.render("topic.html", row=self.bench.topic(asked)))

    def relief(self, asked: ToRelieve) -> Response:
        return HTMLResponse(self.render("relief.html", relief=relief_view(self.bench, asked)))

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


def _done(work: Callable[[Body], Response], asked: Body) -> Response:
    """Do what was asked; bad input is an answer, not a crash."""
    try:
        return work(asked)
    except AlreadyThere as there:
        return JSONResponse(
            {"already_there": there.name, "digest": there.digest, "kept": there.kept}, 409
        )
    except InputError as fault:
        return JSONResponse({"problems": [str(p) for p in fault.problems]}, 400)


async def _not_here(request: Request, fault: Exception) -> Response:
    del request
    status = fault.status_code if isinstance(fault, HTTPException) else 500
    return JSONResponse({"refused": "there is nothing here"}, status)
