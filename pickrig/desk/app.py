"""The desk: routes of a local page. The server works everything out; the browser shows and asks again."""

from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from functools import cache, cached_property
from importlib.resources import files
from pathlib import Path
from urllib.parse import parse_qsl, quote, urlencode

import jinja2
from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, PlainTextResponse, RedirectResponse, Response
from starlette.routing import Route

from pickrig.desk import job_page, log_page, machine_page
from pickrig.desk.guard import TOO_LARGE, App, Guard, TooLargeError
from pickrig.desk.store import EXAMPLE, Entry, Store
from pickrig.errors import PickrigError
from pickrig.guide.questions import questions
from pickrig.guide.wording import asks, why
from pickrig.plans.pick.answer import pick
from pickrig.plans.pick.record import Recommendation
from pickrig.quantities import System
from pickrig.report.figure import VERDICT_SIGN, figure
from pickrig.report.layout import tools_of
from pickrig.report.pick.page import as_page
from pickrig.report.pick.sheet import as_sheet
from pickrig.report.words.reader import voice_of
from pickrig.report.words.voice import Voice
from pickrig.rulebook import Rules

Fields = dict[str, str]


@dataclass(frozen=True)
class Desk:
    """What every page needs."""

    store: Store
    rules: Rules
    tongue: str
    units: System | None

    @cached_property
    def voice(self) -> Voice:
        """In which the desk itself speaks."""
        return self.voice_in("US")

    def voice_in(self, country: str) -> Voice:
        """In which a job of this country is answered."""
        return voice_of(self.tongue, self.units, country, self.rules)


def build(folder: Path, rules: Rules, port: int, units: System | None = None, tongue: str = "en") -> App:
    """The whole application, guarded, working in one folder."""
    desk = Desk(Store(folder), rules, tongue, units)
    routes = [
        _route("/", home, desk),
        _route("/job", job, desk),
        _route("/job", job_posted, desk, post=True),
        _route("/glance", glanced, desk, post=True),
        _route("/page", page, desk),
        _route("/sheet", sheet, desk),
        _route("/file", file, desk),
        _route("/log", log_shown, desk),
        _route("/log", log_posted, desk, post=True),
        _route("/fleet", machine_page_shown, desk),
        _route("/fleet", machine_posted, desk, post=True),
        _route("/drop", dropped, desk, post=True),
        Route("/static/{name}", static),
    ]

    async def broken(_request: Request, _error: Exception) -> Response:
        return _page("message.html", desk, status=500, problems=[desk.voice.text("desk_broken")])

    return Guard(Starlette(routes=routes, exception_handlers={TooLargeError: _too_large, Exception: broken}), port)


def _too_large(_request: Request, _error: Exception) -> Response:
    return PlainTextResponse(TOO_LARGE, 413)


def _route(path: str, show: Callable[[Desk, Fields], Response], desk: Desk, post: bool = False) -> Route:
    """A route whose work is done off the loop, and whose faults are a page of their own."""

    async def endpoint(request: Request) -> Response:
        fields = await _posted(request) if post else dict(request.query_params)
        try:
            return await run_in_threadpool(show, desk, fields)
        except PickrigError as error:
            plain = [job_page.plain(desk.voice.say(problem), desk.store) for problem in error.problems]
            return _page("message.html", desk, status=400, problems=plain)

    handler: Callable[[Request], Awaitable[Response]] = endpoint
    return Route(path, handler, methods=["POST"] if post else ["GET"])


async def _posted(request: Request) -> Fields:
    body = (await request.body()).decode("utf-8", errors="replace")
    try:
        return dict(parse_qsl(body, keep_blank_values=True, max_num_fields=500))
    except ValueError as error:
        raise TooLargeError from error


@cache
def _templates() -> jinja2.Environment:
    return jinja2.Environment(
        loader=jinja2.PackageLoader("pickrig.desk"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def _page(template: str, desk: Desk, status: int = 200, **told: object) -> HTMLResponse:
    html = _templates().get_template(template).render(**_spoken(desk), **told)
    return HTMLResponse(html, status)


def _spoken(desk: Desk) -> dict[str, object]:
    """What every template says things with, and the frame's own figures."""
    voice = desk.voice
    return tools_of(voice) | {
        "folder": desk.store.folder,
        "ask": lambda question: {
            "asks": asks(question, voice),
            "why": why(question, voice),
            "example": question.example,
        },
        "choices": lambda question, answer: job_page.shown_choices(question, answer, voice),
        "signs": VERDICT_SIGN,
        "questions_of_rules": desk.rules.questions,
        "figure": lambda finding: figure(finding, voice),
    }


def home(desk: Desk, _: Fields) -> Response:
    """The jobs and fleets of the folder, and what was left unsaved."""
    store = desk.store
    jobs, fleets, faulty = store.listing()
    told = [(entry.name, _without_its_name(entry, desk)) for entry in faulty]
    return _page("home.html", desk, jobs=jobs, fleets=fleets, faulty=told, drafts=store.drafts(), sites=_sites(desk))


def _sites(desk: Desk) -> list[tuple[str, str, str]]:
    """Name, file, and what is wrong with it, of every place."""
    return [(entry.title, entry.name, _without_its_name(entry, desk)) for entry in desk.store.sites()]


def _without_its_name(entry: Entry, desk: Desk) -> str:
    """What is wrong with a file whose name stands beside it."""
    told = desk.voice.say(entry.fault) if entry.fault is not None else ""
    return job_page.plain(told, desk.store).removeprefix(f"{entry.name}: ").removeprefix(f"{entry.name}, ")


def job(desk: Desk, fields: Fields) -> Response:
    """The form of a job: from its file, from answers left unsaved, or blank."""
    draft = desk.store.draft(fields.get("draft", ""))
    if draft is not None:
        form = job_page.taken_up(draft, desk.store, desk.rules)
    else:
        form = job_page.opened(desk.store, desk.rules, fields.get("file", ""), fields.get("fleet", ""))
    look = job_page.look(form, desk.store, desk.rules, desk.voice) if form.answers else job_page.Look({})
    return _job_page(desk, form, look, said=fields.get("said", ""))


def job_posted(desk: Desk, fields: Fields) -> Response:
    """The same without script: look again, or save."""
    form = job_page.filled_in(fields, desk.store, desk.rules)
    desk.store.keep(form.draft)
    look = job_page.look(form, desk.store, desk.rules, desk.voice)
    if fields.get("do") != "save":
        return _job_page(desk, form, look)
    if look.glance is None:
        return _job_page(desk, form, look, status=422)
    wanted = job_page.name_for(form)
    name = desk.store.save(wanted, job_page.text_of(form, desk.store, desk.rules, desk.voice), form.version)
    desk.store.drop(form.token)
    desk.store.remember(name, form.fleet)
    said = "beside" if form.file and name != wanted else "saved"
    return RedirectResponse(f"/job?file={quote(name)}&fleet={quote(form.fleet)}&said={said}", 303)


def _job_page(desk: Desk, form: job_page.Form, look: job_page.Look, said: str = "", status: int = 200) -> Response:
    return _page(
        "job.html",
        desk,
        status,
        form=form,
        questions=questions(desk.rules),
        asked=job_page.asked(form, desk.rules),
        look=look,
        fleets=desk.store.fleets(),
        example=EXAMPLE,
        said=said,
    )


def glanced(desk: Desk, fields: Fields) -> Response:
    """For the script: the ranking as a piece of page, which questions are asked now, and what is wrong with which."""
    form = job_page.filled_in(fields, desk.store, desk.rules)
    desk.store.keep(form.draft)
    look = job_page.look(form, desk.store, desk.rules, desk.voice)
    html = _templates().get_template("glance.html").render(look=look, form=form, **_spoken(desk))
    return JSONResponse({"html": html, "asked": sorted(job_page.asked(form, desk.rules)), "faults": look.faults})


def page(desk: Desk, fields: Fields) -> Response:
    """The whole recommendation of a saved job."""
    answer = _answer(desk, fields)
    voice, here = desk.voice_in(answer.job.country), urlencode({key: fields.get(key, "") for key in ("file", "fleet")})
    there = {"job": "desk_change", "sheet": "desk_sheet", "log": "log_how"}
    ways = tuple((f"/{place}?{here}", voice.text(key)) for place, key in there.items())
    return HTMLResponse(as_page(answer, voice, ways))


def sheet(desk: Desk, fields: Fields) -> Response:
    """The operator's hand-over sheet of a saved job."""
    answer = _answer(desk, fields)
    return HTMLResponse(as_sheet(answer, desk.voice_in(answer.job.country)))


def _answer(desk: Desk, fields: Fields) -> Recommendation:
    file = fields.get("file", "") or "?"  # a page without a file is no blank job: the store refuses the name
    form = job_page.opened(desk.store, desk.rules, file, fields.get("fleet", ""))
    job, fleet = job_page.read(form, desk.store, desk.rules)
    return pick(job, fleet, desk.rules, yard=log_page.yard(desk.store, fleet, desk.rules))


def log_shown(desk: Desk, fields: Fields) -> Response:
    """What came of a saved job."""
    return _page("log.html", desk, **log_page.shown(desk.store, desk.rules, fields, desk.voice))


def log_posted(desk: Desk, fields: Fields) -> Response:
    """Something told of a job, or an entry struck out."""
    log_page.posted(desk.store, desk.rules, fields)
    here = urlencode({key: fields.get(key, "") for key in ("file", "fleet")})
    return RedirectResponse(f"/log?{here}&said={'struck' if fields.get('strike') else 'told'}", 303)


def file(desk: Desk, fields: Fields) -> Response:
    """A file as it stands."""
    return PlainTextResponse(desk.store.read(fields.get("file", "")))


def machine_page_shown(desk: Desk, fields: Fields) -> Response:
    """The machines of a fleet, and the form of one of them."""
    return _page("fleet.html", desk, **machine_page.shown(desk.store, desk.rules, fields))


def machine_posted(desk: Desk, fields: Fields) -> Response:
    """A machine changed, added or taken out; a fleet that would not read well is not written."""
    name, told = machine_page.posted(desk.store, desk.rules, fields, desk.voice)
    if told:
        return _page("fleet.html", desk, 422, **told)
    return RedirectResponse(f"/fleet?file={quote(name)}&said=saved", 303)


def dropped(desk: Desk, fields: Fields) -> Response:
    """Answers left unsaved are thrown away."""
    desk.store.drop(fields.get("token", ""))
    return RedirectResponse("/", 303)


_STATIC = {"desk.css": "text/css", "desk.js": "text/javascript"}


def static(request: Request) -> Response:
    """Style and script: the report's own style first, then the desk's."""
    name = request.path_params["name"]
    if name not in _STATIC:
        return PlainTextResponse("No such file.", 404)
    text = (files("pickrig.desk") / "static" / name).read_text(encoding="utf-8")
    if name == "desk.css":
        text = (files("pickrig.report") / "templates" / "style.css").read_text(encoding="utf-8") + text
    return Response(text, media_type=_STATIC[name])
