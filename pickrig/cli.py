"""Commands: read options, call a plan, hand the result to a report. Heavy imports wait inside the commands."""

import gc
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal, TypeVar
from urllib.parse import quote

import typer
from typer.core import TyperCommand

from pickrig import __version__
from pickrig.errors import InputError, OutputError, PickrigError, RulesError
from pickrig.facts import Said, Value
from pickrig.report.plain_signs import write_plainly

if TYPE_CHECKING:
    from collections.abc import Callable

    from pickrig.inputs import Fleet
    from pickrig.plans.yard.teaching import Yard
    from pickrig.report.words.voice import Voice
    from pickrig.rulebook import Rules

Read = TypeVar("Read")

BAD_INPUT, NO_MACHINE, LEFT = 2, 3, 130

app = typer.Typer(
    help="Put the right machine on the right ground: which of these machines for this job, and why.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)


Units = Literal["us", "metric"]

_spoken = ["en"]  # the language asked for, for whatever has to be said before and after an answer


def _speak(language: str) -> str:
    """Speak this language from here on. Raises BadParameter for one there are no words of."""
    from pickrig.report.words.catalogue import languages

    if language not in languages():
        raise typer.BadParameter(f"{language} is not there; there are {', '.join(languages())}")
    _spoken[0] = language
    return language


Tongue = Annotated[str, typer.Option("--language", callback=_speak, help="Language of every answer: en or es.")]
In = Annotated[Units | None, typer.Option(help="Units to read the answer in; else the country's.")]
WithoutLog = Annotated[
    bool, typer.Option("--without-log", help="By the books alone, whatever the log beside the fleet has.")
]
RulesFolder = Annotated[
    Path | None, typer.Option("--rules", metavar="DIR", help="A folder of your own tables, laid over the shipped ones.")
]


class _Why(TyperCommand):
    """`--why` alone asks for everything, `--why gate` for one question of it; a file after it is the job."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        alone = [n for n, arg in enumerate(args) if arg == "--why" and not _is_question(args[n + 1 : n + 2])]
        for place in reversed(alone):
            args = [*args[: place + 1], "all", *args[place + 1 :]]
        return super().parse_args(ctx, args)


def _is_question(following: list[str]) -> bool:
    return bool(following) and not following[0].startswith("-") and not set(following[0]) & set("./\\")


@app.command(cls=_Why, epilog="Example: pickrig pick lot.toml --fleet yard.toml -o lot.html")
def pick(
    job: Annotated[Path | None, typer.Argument(help="The job file; without one, the shipped example.")] = None,
    fleet: Annotated[Path | None, typer.Option(help="The fleet file; without one, the shipped example's.")] = None,
    output: Annotated[Path | None, typer.Option("-o", "--output", metavar="PAGE", help="Where the page goes.")] = None,
    json: Annotated[str | None, typer.Option(metavar="FILE", help="Also write JSON; - for standard output.")] = None,
    sheet: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Also write the operator's hand-over sheet.")
    ] = None,
    units: In = None,
    tongue: Tongue = "en",
    rules: RulesFolder = None,
    also: Annotated[
        Literal["en", "es", "us", "metric"] | None,
        typer.Option(help="Also write the page beside, in this language or in these units, each linked to the other."),
    ] = None,
    why: Annotated[
        str | None,
        typer.Option(
            "--why", metavar="[QUESTION]", help="Also say what the short answer leaves out, or one question of it."
        ),
    ] = None,
    without_log: WithoutLog = False,
    seed: Annotated[int, typer.Option(min=0, max=2**32 - 1, help="Seed of the random draws of the ground.")] = 0,
) -> None:
    """Which machine for one job. Exit status 0: send, or a best bet; 3: send nothing yet; 2: bad input."""
    from pickrig.rulebook import shipped

    job_path = job or shipped("examples") / "muddy-lot.toml"
    fleet_path = fleet or shipped("examples") / "fleet.toml"
    if job is not None and fleet is None:
        _remark("cli.no_fleet", path=str(fleet_path))
    if job is None and fleet is None:
        _remark("cli.no_job")
    page = output or Path(f"pickrig-{job_path.stem}.html")
    _answer_job(job_path, fleet_path, page, json, sheet, rules, units, tongue, seed, why, also, without_log)


def _answer_job(
    job_path: Path,
    fleet_path: Path,
    page: Path,
    json: str | None,
    sheet: Path | None,
    rules: Path | None,
    units: Units | None,
    tongue: str,
    seed: int,
    why: str | None = None,
    also: Literal["en", "es", "us", "metric"] | None = None,
    without_log: bool = False,
) -> None:
    """Read, pick, write what was asked for, and leave with the answer's exit status."""
    from pickrig.files import noting_reads, write_whole
    from pickrig.inputs import read_job
    from pickrig.plans.pick.answer import pick as run
    from pickrig.report.pick.json import as_json
    from pickrig.report.pick.page import as_page
    from pickrig.report.pick.sheet import as_sheet
    from pickrig.report.pick.terminal import as_text, as_why
    from pickrig.report.words.reader import voice_of
    from pickrig.rulebook import load_rules

    with noting_reads() as read:
        tables = load_rules(rules)
        the_job, the_fleet = _read_both(read_job, job_path, fleet_path, tables)
    twin = page.with_suffix(f".{also}{page.suffix}") if also is not None and page.name else None
    _refuse_clashes(page, json, [sheet, twin], read)
    if sys.stderr.isatty():
        _remark("cli.asking")
    answer = run(the_job, the_fleet, tables, seed=seed, yard=_yard(fleet_path, the_fleet, tables, without_log))
    more, voice = "", voice_of(tongue, units, the_job.country, tables)
    reasons = "" if why is None else f"\n\n{as_why(answer, voice, why)}".rstrip()
    if sheet is not None:
        write_whole(sheet, as_sheet(answer, voice))
        more = f"\n{voice.text('sheet_at', path=str(sheet.resolve()))}"
    ways: tuple[tuple[str, str], ...] = ()
    if twin is not None:
        other = voice_of(*(_turned(tongue, units, also)), the_job.country, tables)
        there, back = ("this_page", "this_page") if also in ("en", "es") else (f"in_{other.units}", f"in_{voice.units}")
        ways = ((quote(twin.name), other.text(there)),)
        write_whole(twin, as_page(answer, other, ((quote(page.name), voice.text(back)),)))
    _deliver(
        voice,
        page,
        as_page(answer, voice, ways),
        json,
        lambda: as_json(answer, voice),
        as_text(answer, voice),
        more + reasons,
    )
    raise typer.Exit(0 if answer.tier.name != "wait" else NO_MACHINE)


def _turned(tongue: str, units: Units | None, also: str | None) -> tuple[str, Units | None]:
    """Language and units of the page beside."""
    if also in ("us", "metric"):
        return tongue, "metric" if also == "metric" else "us"
    return also or tongue, units


@app.command(epilog="Example: pickrig start --fleet yard.toml")
def start(
    file: Annotated[
        Path | None, typer.Argument(metavar="JOB", help="The job file to write, or to change; asked for otherwise.")
    ] = None,
    fleet: Annotated[Path | None, typer.Option(help="The fleet file; asked for otherwise.")] = None,
    units: In = None,
    tongue: Tongue = "en",
    rules: RulesFolder = None,
) -> None:
    """Asks a beginner's questions, writes the job file and answers it. Ctrl-C leaves; start again to go on."""
    from pickrig.guide.ask import Talk
    from pickrig.guide.start import fleet_path as which_fleet
    from pickrig.guide.start import start as run
    from pickrig.report.words.voice import Voice
    from pickrig.rulebook import load_rules, shipped

    tables = load_rules(rules)
    talk = Talk(input, typer.echo, Voice(tongue))
    try:
        path = run(file, tables, talk)
    except (KeyboardInterrupt, EOFError):
        _say(f"\n{talk.voice.text('start_left')}")
        sys.exit(LEFT)
    try:
        fleet_file = which_fleet(fleet, shipped("examples") / "fleet.toml", talk)
    except (KeyboardInterrupt, EOFError):
        _say(f"\n{talk.voice.text('start_left_written', path=str(path))}")
        sys.exit(LEFT)
    typer.echo("")
    _answer_job(path, fleet_file, path.with_name(f"pickrig-{path.stem}.html"), None, None, rules, units, tongue, 0)


def _yard(fleet_path: Path, fleet: "Fleet", tables: "Rules", without: bool = False) -> "Yard | None":
    """What the log beside the fleet teaches."""
    from pickrig.plans.yard.beside import yard_of

    return None if without else yard_of(fleet_path, fleet, tables)


def _refuse_clashes(page: Path, json: str | None, others: list[Path | None], read: list[Path]) -> None:
    """Nothing may be written over what was read, or twice; the page goes to a file."""
    from pickrig.files import refuse_clashes

    if str(page) == "-":
        raise OutputError(Said("fault.page_to_file"))
    json_file = None if json is None or json == "-" else Path(json)
    refuse_clashes([path for path in (page, json_file, *others) if path is not None], read)


def _read_both(
    reader: "Callable[[Path, Rules], Read]", path: Path, fleet_path: Path, tables: "Rules"
) -> "tuple[Read, Fleet]":
    """A file and the fleet file; the faults of both are told in the same run."""
    from pickrig.inputs import read_fleet

    problems: list[Said] = []
    one, fleet = _collected(reader, path, tables, problems), _collected(read_fleet, fleet_path, tables, problems)
    if one is None or fleet is None:
        raise InputError(problems)
    return one, fleet


def _collected(
    reader: "Callable[[Path, Rules], Read]", path: Path, tables: "Rules", problems: list[Said]
) -> "Read | None":
    """Read one file, keeping its faults."""
    try:
        return reader(path, tables)
    except InputError as error:
        problems += error.problems
        return None


def _deliver(
    voice: "Voice",
    page: Path,
    html: str,
    json: str | None,
    record: "Callable[[], str]",
    text: str,
    more: str = "",
) -> None:
    """Write page and JSON, then say the short answer; with JSON on standard output, say it on standard error. record:
    makes the JSON, where it is asked for."""
    from pickrig.files import write_whole

    write_whole(page, html)
    if json == "-":
        typer.echo(record().encode(), nl=False)  # JSON is UTF-8 whatever the terminal writes
    elif json is not None:
        write_whole(Path(json), record())
    where = voice.text("whole_page", path=str(page.resolve()))
    typer.echo(f"{text}\n{where}{more}", err=json == "-")


@app.command(epilog="Example: pickrig buy year.toml --fleet candidates.toml -o buy.html")
def buy(
    year: Annotated[Path | None, typer.Argument(help="The year file; without one, the shipped example.")] = None,
    fleet: Annotated[
        Path | None, typer.Option(help="The machines in the yard and those to be had, with their deals.")
    ] = None,
    output: Annotated[Path | None, typer.Option("-o", "--output", metavar="PAGE", help="Where the page goes.")] = None,
    json: Annotated[str | None, typer.Option(metavar="FILE", help="Also write JSON; - for standard output.")] = None,
    units: In = None,
    tongue: Tongue = "en",
    rules: RulesFolder = None,
    without_log: WithoutLog = False,
    seed: Annotated[int, typer.Option(min=0, max=2**32 - 1, help="Seed of the random draws of the ground.")] = 0,
) -> None:
    """Which machine to buy or rent for a year of work. Exit status 0: one worth having; 3: none; 2: bad input."""
    from pickrig.files import noting_reads
    from pickrig.inputs.year import read_year
    from pickrig.plans.buy.answer import buy as run
    from pickrig.report.buy.json import as_buy_json
    from pickrig.report.buy.page import as_buy_page
    from pickrig.report.buy.terminal import as_buy_text
    from pickrig.report.words.reader import voice_of
    from pickrig.rulebook import load_rules, shipped

    year_path = year or shipped("examples") / "year.toml"
    fleet_path = fleet or shipped("examples") / "candidates.toml"
    if year is None or fleet is None:
        _remark("cli.example")
    page = output or Path(f"pickrig-{year_path.stem}.html")
    with noting_reads() as read:
        tables = load_rules(rules)
        the_year, the_fleet = _read_both(read_year, year_path, fleet_path, tables)
    _refuse_clashes(page, json, [], read)
    voice = voice_of(tongue, units, the_year.country, tables)
    yard = _yard(fleet_path, the_fleet, tables, without_log)
    answer = run(the_year, the_fleet, tables, seed=seed, step=_progress("cli.weather"), yard=yard)
    _deliver(
        voice, page, as_buy_page(answer, voice), json, lambda: as_buy_json(answer, voice), as_buy_text(answer, voice)
    )
    raise typer.Exit(0 if answer.best else NO_MACHINE)


def _progress(what: str) -> "Callable[[int, int], None]":
    """A bar, on a terminal only. what: the statement before it."""

    def told(done: int, of: int) -> None:
        if not sys.stderr.isatty():
            return
        filled = round(30 * done / of)
        end = "\n" if done == of else ""
        typer.echo(
            f"\r{_voice().text(what)} [{'#' * filled}{'.' * (30 - filled)}] {done} of {of}{end}", err=True, nl=False
        )

    return told


@app.command(epilog="Example: pickrig day tuesday.toml --fleet yard.toml -o tuesday.html")
def day(
    board: Annotated[Path | None, typer.Argument(metavar="DAY", help="The day file; else the shipped example.")] = None,
    fleet: Annotated[Path | None, typer.Option(help="The fleet file; without one, the shipped example's.")] = None,
    output: Annotated[Path | None, typer.Option("-o", "--output", metavar="PAGE", help="Where the page goes.")] = None,
    json: Annotated[str | None, typer.Option(metavar="FILE", help="Also write JSON; - for standard output.")] = None,
    csv: Annotated[Path | None, typer.Option(metavar="FILE", help="Also write a CSV for a spreadsheet.")] = None,
    calendar: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Also write an iCalendar file for the crew's telephones.")
    ] = None,
    since: Annotated[
        Path | None, typer.Option(metavar="FILE", help="JSON of a plan of before: keep to it, and say what changed.")
    ] = None,
    sheets: Annotated[
        Path | None,
        typer.Option(
            metavar="FOLDER", help="Also write a hand-over sheet for each line, and the day of each of the people."
        ),
    ] = None,
    units: In = None,
    tongue: Tongue = "en",
    rules: RulesFolder = None,
    without_log: WithoutLog = False,
    seed: Annotated[int, typer.Option(min=0, max=2**32 - 1, help="Seed of the random draws of the ground.")] = 0,
) -> None:
    """Which machine to which of many jobs. Exit status 0: a board; 3: nothing goes out, or something that must be done
    does not; 2: bad input."""
    from pickrig.files import noting_reads, write_whole
    from pickrig.inputs.board import read_board
    from pickrig.inputs.earlier_plan import read_earlier_plan
    from pickrig.plans.day.answer import day as run
    from pickrig.plans.day.answer import handed_over
    from pickrig.report.day.calendar import as_calendar
    from pickrig.report.day.duty import as_duties
    from pickrig.report.day.json import as_board_csv, as_board_json
    from pickrig.report.day.page import as_board_page
    from pickrig.report.day.terminal import as_board_text
    from pickrig.report.day.told import on_sheet
    from pickrig.report.pick.sheet import as_sheet, refuse_sheet_clashes, write_sheets
    from pickrig.report.words.reader import voice_of
    from pickrig.rulebook import load_rules, shipped

    board_path = board or shipped("examples") / "tuesday.toml"
    fleet_path = fleet or shipped("examples") / "fleet.toml"
    if board is None or fleet is None:
        _remark("cli.example")
    page = output or Path(f"pickrig-{board_path.stem}.html")
    with noting_reads() as read:
        tables = load_rules(rules)
        the_board, the_fleet = _read_both(read_board, board_path, fleet_path, tables)
        earlier = None if since is None else read_earlier_plan(since)
    _refuse_clashes(page, json, [csv, calendar], read)
    if sheets is not None:
        refuse_sheet_clashes(sheets, [page, csv, calendar, *([Path(json)] if json else [])])
    voice = voice_of(tongue, units, the_board.country, tables)
    yard = _yard(fleet_path, the_fleet, tables, without_log)
    plan = run(the_board, the_fleet, tables, seed=seed, step=_progress("cli.machines"), earlier=earlier, yard=yard)
    if csv is not None:
        write_whole(csv, as_board_csv(plan))
    if calendar is not None:
        write_whole(calendar, as_calendar(plan, voice))
    more = ""
    if sheets is not None:
        given = [handed_over(line, plan, the_fleet, tables, yard) for line in plan.lines]
        handed = [as_sheet(one, voice, on_sheet(line)) for one, line in zip(given, plan.lines, strict=True)]
        dropped = write_sheets(sheets, [*handed, *as_duties(plan, voice)])
        more = f"\n{voice.text('board_sheets', folder=str(sheets.resolve()))}"
        more += f"\n{voice.text('board_dropped', names=tuple(dropped))}" if dropped else ""
    text = as_board_text(plan, voice)
    _deliver(voice, page, as_board_page(plan, voice), json, lambda: as_board_json(plan, voice), text, more)
    raise typer.Exit(0 if plan.lines and not plan.broken else NO_MACHINE)


@app.command(epilog="Example: pickrig desk ~/jobs")
def desk(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="Where the job and fleet files are.")] = Path(),
    port: Annotated[int, typer.Option(min=0, max=65535, help="Port on this machine; 0 for any that is free.")] = 8137,
    units: In = None,
    tongue: Tongue = "en",
    rules: RulesFolder = None,
) -> None:
    """Open a page in the browser of this machine: answer, move sliders, save, print. pip install 'pickrig[desk]'."""
    from pickrig.desk.serve import serve
    from pickrig.rulebook import load_rules

    serve(folder, load_rules(rules), port, units, tongue, _say)


Kind = Literal["job", "fleet", "day", "year"]


sites = typer.Typer(help="Places that are remembered: make, show and update them.", no_args_is_help=True)
app.add_typer(sites, name="site")
SiteFile = Annotated[Path, typer.Argument(metavar="SITE", help="The site file.")]


@sites.command("new", epilog='Example: pickrig site new "Miller Road" --at 44.05,-92.45 --soil survey.json')
def site_new(
    name: Annotated[str, typer.Argument(help="What you call the place.")],
    at: Annotated[str | None, typer.Option(metavar="LAT,LON", help="Position in degrees, west negative.")] = None,
    folder: Annotated[Path, typer.Option("--in", help="The folder of your job files.")] = Path(),
    soil: Annotated[Path | None, typer.Option(help="A file from the soil survey.")] = None,
    past: Annotated[Path | None, typer.Option(help="A file of the days behind.")] = None,
    forecast: Annotated[Path | None, typer.Option(help="A file of the forecast.")] = None,
    drainage: Annotated[str | None, typer.Option(help="How long water stands; asked for otherwise.")] = None,
    land: Annotated[str | None, typer.Option(help='"natural", "built on" or "filled".')] = None,
    gate: Annotated[str | None, typer.Option(help='The gate, "72 in".')] = None,
    zone: Annotated[str | None, typer.Option(help='Time zone, "America/Chicago".')] = None,
    station: Annotated[str | None, typer.Option(help="Weather station whose past days are fetched.")] = None,
    country: Annotated[str | None, typer.Option(help="US, UK or EU.")] = None,
    tongue: Tongue = "en",  # noqa: ARG001
    rules: RulesFolder = None,
) -> None:
    """Write a site file. One question is asked: how long water stands there."""
    from pickrig.guide.new_site import check_position, new_site, take_back
    from pickrig.rulebook import load_rules

    tables = load_rules(rules)
    check_position(at)
    drains = drainage if drainage is not None else _ask_drainage(tables)
    keys = {
        "country": country,
        "ground.drainage": drains or None,
        "ground.land": land,
        "access.gate": gate,
        "weather.zone": zone,
        "weather.station": station,
    }
    path = new_site(name, folder, keys, {"survey": soil, "past": past, "forecast": forecast}, at)
    try:
        _show_site(path, tables)
    except InputError:
        take_back(path)
        raise
    _remark("cli.site_new", path=str(path))


def _ask_drainage(tables: "Rules") -> str:
    """The one question a survey answers worst; nothing where nobody answers."""
    _say(_voice().text("cli.site_water"))
    for key, row in tables.drainage.items():
        _say(f"  {key}: {_voice().write(row.says)}")
    while True:
        try:
            answer = str(typer.prompt(_voice().text("cli.site_word"), default="", show_default=False)).strip().lower()
        except typer.Abort:
            return ""
        if answer in ("", *tables.drainage):
            return answer


@sites.command("show", epilog="Example: pickrig site show sites/miller-road.toml")
def site_show(
    site: Annotated[Path | None, typer.Argument(metavar="SITE", help="The site file; without one, the list.")] = None,
    folder: Annotated[Path, typer.Option("--in", help="The folder of your job files.")] = Path(),
    tongue: Tongue = "en",  # noqa: ARG001
    rules: RulesFolder = None,
) -> None:
    """Say what is known of a place and where it comes from."""
    from pickrig.guide.new_site import sites_in
    from pickrig.inputs.site import read_site
    from pickrig.rulebook import load_rules

    if site is not None:
        _show_site(site, load_rules(rules))
        return
    for path in sites_in(folder):
        typer.echo(f"{path}: {read_site(path)[0].name}")


def _show_site(path: Path, tables: "Rules") -> None:
    from pickrig.guide.new_site import check_site
    from pickrig.report.site.terminal import as_site_text
    from pickrig.report.words.reader import voice_of

    site, survey = check_site(path, tables)
    voice = voice_of(_spoken[0], None, site.country or "US", tables)
    typer.echo(as_site_text(site, survey, tables, voice), nl=False)


@sites.command("update", epilog="Example: pickrig site update sites/miller-road.toml --contact you@example.com")
def site_update(
    site: SiteFile,
    contact: Annotated[str, typer.Option(help="How a service may reach you; sent along.")] = "",
    again: Annotated[bool, typer.Option("--again", help="Fetch even what is young.")] = False,
    tongue: Tongue = "en",  # noqa: ARG001
    rules: RulesFolder = None,
) -> None:
    """Fetch soil and weather for a site (needs pickrig[net]). Its position is sent to public services, nothing else.
    Exit status 3: something could not be brought; the old file stands."""
    from pickrig.fetch.update import update
    from pickrig.guide.new_site import name_files
    from pickrig.inputs.site import read_site
    from pickrig.rulebook import load_rules

    done = update(site, read_site(site)[0], load_rules(rules), contact, again)
    name_files(site, done.files)
    for said in done.told:
        typer.echo(_voice().say(said))
    raise typer.Exit(NO_MACHINE if done.failed else 0)


logs = typer.Typer(help="What happened: write it down after a job.", no_args_is_help=True)
app.add_typer(logs, name="log")
LogFile = Annotated[
    Path | None, typer.Option("--log", metavar="FILE", help="The log; else pickrig-log.sqlite beside the fleet.")
]
LogFleet = Annotated[Path, typer.Option(help="The fleet file the log belongs to.")]


@logs.command("add", epilog='Example: pickrig log add lot.toml --fleet yard.toml --machine "Wide-track 68" --held')
def log_add(
    job: Annotated[Path, typer.Argument(help="The job file.")],
    fleet: LogFleet,
    machine: Annotated[str, typer.Option(help="Which machine went, or was looked at.")],
    held: Annotated[bool, typer.Option("--held", help="It held.")] = False,
    rutted: Annotated[str | None, typer.Option(metavar="DEPTH", help='It left ruts, "3 in" deep.')] = None,
    bogged: Annotated[bool, typer.Option("--bogged", help="It bogged down.")] = False,
    turned_back: Annotated[bool, typer.Option("--turned-back", help="It went and turned back: too soft.")] = False,
    too_soft: Annotated[bool, typer.Option("--too-soft", help="Not sent: too soft at sight.")] = False,
    other_reason: Annotated[bool, typer.Option("--other-reason", help="Not sent, for something else.")] = False,
    would_have: Annotated[
        bool, typer.Option("--would-have-held", help="Not sent, and somebody saw it would have held.")
    ] = False,
    helped: Annotated[
        str, typer.Option("--with", help='Went with "mats", "half load", or was "towed", or "waited".')
    ] = "none",
    hours: Annotated[str | None, typer.Option(help='How long it took on the site, "5 h".')] = None,
    hours_kind: Annotated[str, typer.Option("--hours-by", help='By the "clock", the "meter", or "billed".')] = "clock",
    broke: Annotated[str, typer.Option(help="What broke.")] = "",
    crew: Annotated[str, typer.Option(help="Who did it, if you want that kept.")] = "",
    note: Annotated[str, typer.Option(help="Anything else.")] = "",
    on: Annotated[str | None, typer.Option(metavar="DATE", help="The day; else the job's, or today.")] = None,
    log: LogFile = None,
    replaces: Annotated[str, typer.Option(help="The entry this one corrects.")] = "",
    tongue: Tongue = "en",  # noqa: ARG001
    rules: RulesFolder = None,
) -> None:
    """Write down what came of a job. What was said of it before is kept beside it."""
    from dataclasses import replace

    from pickrig.guide.log_entry import Told, told_entry
    from pickrig.inputs import read_fleet, read_job
    from pickrig.log.store import NAME, Log
    from pickrig.plans.pick.answer import pick as run
    from pickrig.plans.pick.logged import entry_of
    from pickrig.plans.yard.beside import yard_of
    from pickrig.report.log.terminal import line_of
    from pickrig.rulebook import load_rules

    tables = load_rules(rules)
    given = Told(held, rutted, bogged, turned_back, too_soft, other_reason, would_have, helped, hours, hours_kind, on)
    the_job, the_fleet = read_job(job, tables), read_fleet(fleet, tables)
    store = Log(log or fleet.parent / NAME)
    day = given.day(the_job)
    answer = run(the_job, the_fleet, tables, yard=yard_of(fleet, the_fleet, tables, store.path, day.isoformat()))
    entry = told_entry(entry_of(answer, tables, machine, day, __version__), given)
    old = store.find(replaces).id if replaces else ""
    store.add(replace(entry, broke=broke, crew=crew, note=note, replaces=old))
    typer.echo(_voice().say(line_of(entry)))


@logs.command("reading", epilog='Example: pickrig log reading --fleet yard.toml --machine "Wide-track 68" --meter 1210')
def log_reading(
    fleet: LogFleet,
    machine: Annotated[str, typer.Option(help="Which machine was looked at.")],
    meter: Annotated[str | None, typer.Option(help='Its hour meter, "1210 h".')] = None,
    depth: Annotated[str | None, typer.Option(help='The lowest lug or tread, "0.9 in".')] = None,
    fresh: Annotated[bool, typer.Option("--new-set", help="A new set was put on just before.")] = False,
    tension: Annotated[str, typer.Option(help='Of the belt: "right", "slack", "tight".')] = "",
    sprocket: Annotated[str, typer.Option(help='"new", "hooked", "sharp".')] = "",
    rollers: Annotated[str, typer.Option(help='"sound", "leaking", "seized".')] = "",
    edge: Annotated[str, typer.Option(help='Cutting edge: "good", "worn", "through".')] = "",
    note: Annotated[str, typer.Option(help="Anything else.")] = "",
    on: Annotated[str | None, typer.Option(metavar="DATE", help="The day; else today.")] = None,
    log: LogFile = None,
    tongue: Tongue = "en",  # noqa: ARG001
    rules: RulesFolder = None,
) -> None:
    """Write down what was read off a machine: its meter, lugs or tread, and what is worn."""
    from pickrig.guide.log_entry import told_reading
    from pickrig.inputs import read_fleet
    from pickrig.log.store import NAME, Log
    from pickrig.report.log.terminal import reading_line
    from pickrig.rulebook import load_rules

    names = [one.name for one in read_fleet(fleet, load_rules(rules)).machines]
    seen = {"tension": tension, "sprocket": sprocket, "rollers": rollers, "edge": edge}
    reading = told_reading(names, machine, meter, depth, fresh, seen, note, on)
    Log(log or fleet.parent / NAME).add_reading(reading)
    typer.echo(_voice().say(reading_line(reading)))


@logs.command("learned", epilog="Example: pickrig log learned --fleet yard.toml")
def log_learned(
    fleet: LogFleet,
    log: LogFile = None,
    tongue: Tongue = "en",  # noqa: ARG001
    rules: RulesFolder = None,
) -> None:
    """What the log has taught: how this yard's ground, machines and hours lie off the books, and how well it tells."""
    from pickrig.inputs import read_fleet
    from pickrig.plans.yard.beside import yard_of
    from pickrig.report.log.learned import as_learned_text
    from pickrig.rulebook import load_rules

    tables = load_rules(rules)
    the_fleet = read_fleet(fleet, tables)
    yard = yard_of(fleet, the_fleet, tables, log)
    typer.echo(as_learned_text(yard, the_fleet, tables, _voice()), nl=False)


@logs.command("show", epilog="Example: pickrig log show --fleet yard.toml")
def log_show(fleet: LogFleet, log: LogFile = None, tongue: Tongue = "en") -> None:  # noqa: ARG001
    """What stands in the log, the last first."""
    from pickrig.log.store import NAME, Log
    from pickrig.report.log.terminal import as_log_text

    store = Log(log or fleet.parent / NAME)
    typer.echo(as_log_text([*store.entries(), *store.readings()], _voice()), nl=False)


@logs.command("strike", epilog="Example: pickrig log strike 3f2a91bc --fleet yard.toml")
def log_strike(
    entry: Annotated[str, typer.Argument(help="The first signs of its mark, as `show` has them.")],
    fleet: LogFleet,
    log: LogFile = None,
    tongue: Tongue = "en",  # noqa: ARG001
) -> None:
    """Strike out a wrong entry; it stays in the file and counts no more."""
    import datetime as dt

    from pickrig.log.store import NAME, Log
    from pickrig.report.log.terminal import line_of

    now = dt.datetime.now(dt.UTC).isoformat(timespec="seconds")
    struck = Log(log or fleet.parent / NAME).strike(entry, now)
    typer.echo(_voice().text("log_struck", what=_voice().say(line_of(struck))))


@logs.command("export", epilog="Example: pickrig log export log.csv --fleet yard.toml --anonymous")
def log_export(
    file: Annotated[Path, typer.Argument(help="The CSV to write.")],
    fleet: LogFleet,
    log: LogFile = None,
    anonymous: Annotated[bool, typer.Option("--anonymous", help="Without names, places and notes.")] = False,
    tongue: Tongue = "en",  # noqa: ARG001
) -> None:
    """The log as CSV."""
    from pickrig.files import write_whole
    from pickrig.log.store import NAME, Log
    from pickrig.log.table import as_csv

    store = Log(log or fleet.parent / NAME)
    entries = store.entries() if anonymous else store.everything()
    write_whole(file, as_csv(entries, anonymous))
    typer.echo(_voice().text("log_exported", count=len(entries), file=str(file)))


@logs.command("import", epilog="Example: pickrig log import theirs.csv --fleet yard.toml")
def log_import(
    file: Annotated[Path, typer.Argument(help="The CSV to read.")],
    fleet: LogFleet,
    log: LogFile = None,
    tongue: Tongue = "en",  # noqa: ARG001
) -> None:
    """Take in a CSV; what is there already is not doubled."""
    from pickrig.log.store import NAME, Log
    from pickrig.log.table import from_csv

    added = Log(log or fleet.parent / NAME).add(*from_csv(file))
    typer.echo(_voice().text("log_imported", count=added))


@app.command(epilog="Example: pickrig check lot.toml yard.toml")
def check(
    files: Annotated[
        list[Path] | None, typer.Argument(metavar="FILE...", help="Job, fleet, year, day and site files.")
    ] = None,
    schema: Annotated[
        Kind | None, typer.Option(help="Print the JSON Schema of such a file, with which an editor completes it.")
    ] = None,
    tongue: Tongue = "en",  # noqa: ARG001
    rules: RulesFolder = None,
) -> None:
    """Read files and say what is wrong or missing; run nothing."""
    from pickrig.inputs.schemas import schema_text
    from pickrig.rulebook import load_rules

    tables, problems = load_rules(rules), []
    if schema is not None:
        typer.echo(schema_text(schema, tables))
        return
    for path in files or []:
        try:
            _check_one(path, tables)
        except InputError as error:
            problems += error.problems
    if not files:
        problems.append(Said("fault.no_files"))
    if problems:
        raise InputError(problems)


def _check_one(path: Path, tables: "Rules") -> None:
    """Read one file as what it says it is. Raises InputError."""
    from pickrig.inputs import read_fleet, read_job
    from pickrig.inputs.board import read_board
    from pickrig.inputs.year import read_year
    from pickrig.reading import read_toml

    if path.suffix.lower() == ".csv":
        raise InputError(Said("fault.weather_alone", file=str(path)))
    data = read_toml(path, "any").data
    if "machine" in data:
        _say_gaps(path, read_fleet(path, tables))
        return
    if "name" in data and "task" not in data and "job" not in data:
        _show_site(path, tables)
        return
    if "job" in data:
        read_board(path, tables)
    elif "work" in data:
        read_year(path, tables)
    else:
        read_job(path, tables)
    kind = "day" if "job" in data else "year" if "work" in data else "job"
    typer.echo(_voice().text("cli.reads_well", path=str(path), kind=Said(f"kind.{kind}")))


def _say_gaps(path: Path, fleet: "Fleet") -> None:
    """A fleet that reads well, and what each machine still lacks."""
    typer.echo(_voice().text("cli.fleet_reads_well", path=str(path), count=len(fleet.machines)))
    for machine in fleet.machines:
        if machine.gaps:
            key = "cli.lacks" if machine.size_class else "cli.lacks_class"
            typer.echo(f"  {_voice().text(key, machine=machine.name, gaps=machine.gaps)}")


@app.command(epilog="Example: pickrig rules soils")
def rules(
    table: Annotated[str | None, typer.Argument(help="One table; without it, the list of tables.")] = None,
    folder: RulesFolder = None,
    audit: Annotated[
        bool, typer.Option("--audit", help="Every value with its status and source; how many of each; what is amiss.")
    ] = False,
    decides: Annotated[
        bool, typer.Option("--decides", help="Which numbers the verdicts on the ground hang on; takes some minutes.")
    ] = False,
) -> None:
    """The tables behind the answers, with their sources, to read or to correct."""
    from pickrig.report.tables import as_audit, as_table, table_list
    from pickrig.rulebook import load_rules, read_tables
    from pickrig.rulebook.audit import audit as look_at

    if audit:
        load_rules(folder)  # what is not even a table of rules is told first
        found = look_at(read_tables(folder))
        typer.echo(as_audit(found, table))
        if found.faults:
            raise RulesError(found.faults)
        return
    tables = load_rules(folder)
    if decides:
        _say_what_decides(tables)
        return
    typer.echo(table_list(tables) if table is None else as_table(tables, table))


def _say_what_decides(tables: "Rules") -> None:
    """Every number that changes a verdict, on the shipped fleet; what is being moved goes to the error stream."""
    from pickrig.inputs import read_fleet
    from pickrig.plans.decides.sweep import sweep
    from pickrig.report.decides import as_decides
    from pickrig.rulebook import shipped

    fleet = read_fleet(shipped("examples") / "fleet.toml", tables)
    told: set[str] = set()

    def tell(part: str) -> None:
        if sys.stderr.isatty() and part not in told:
            told.add(part)
            typer.echo(part, err=True)

    typer.echo(as_decides(sweep(tables, fleet, tell)))


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"pickrig {__version__}")
        raise typer.Exit


@app.callback()
def _top(
    _: Annotated[bool, typer.Option("--version", callback=_version, is_eager=True, help="Say the version.")] = False,
) -> None:
    """Read by typer before any command."""


def _voice() -> "Voice":
    """The voice for remarks and faults."""
    from pickrig.report.words.voice import Voice

    return Voice(_spoken[0])


def _remark(key: str, **values: Value) -> None:
    """Something said beside the answer."""
    _say(_voice().text(key, **values))


def _say(text: str) -> None:
    """A remark beside the answer, on standard error so that it never mixes with JSON."""
    typer.echo(text, err=True)


def main() -> None:
    """Run the command line. Every fault of the input ends in its sentences on standard error and exit status 2."""
    write_plainly()
    gc.set_threshold(100_000)  # a run makes much and drops little: looking for cycles costs a tenth of its time
    try:
        try:
            app()
        finally:
            sys.stdout.flush()  # here, so that a disk that is full is told below
    except PickrigError as error:
        _say("\n".join(_voice().say(problem) for problem in error.problems))
        sys.exit(BAD_INPUT)
    except BrokenPipeError:
        sys.stderr.close()  # the reader went away, as `| head` does; there is nobody to tell
        sys.exit(1)
    except OSError as error:
        sys.stdout = None  # what it still holds cannot be written either, and Python would try again at its end
        _say(_voice().say(Said("fault.cannot_print", reason=str(error.strerror))))
        sys.exit(BAD_INPUT)
