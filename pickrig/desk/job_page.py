"""The page of one job: what its form holds, whether that can be answered, and what it answers."""

from dataclasses import dataclass, field

from pickrig.desk.store import EXAMPLE, Draft, Store, new_token
from pickrig.errors import InputError
from pickrig.facts import Said
from pickrig.guide.job_text import answers_of, job_text
from pickrig.guide.names import file_stem
from pickrig.guide.questions import Answers, Question, applies, fault, questions
from pickrig.guide.toml_edit import parsed
from pickrig.guide.wording import choices
from pickrig.inputs import Fleet, Job, read_fleet
from pickrig.inputs.job_file import job_of
from pickrig.log.store import NAME
from pickrig.plans.pick.quick_look import Glance, glance
from pickrig.plans.yard.beside import yard_of
from pickrig.reading import parse_toml
from pickrig.report.words.voice import ENGLISH, Voice
from pickrig.rulebook import Rules

_LONGEST_ANSWER = 200


@dataclass(frozen=True)
class Form:
    """What a page holds. file: empty for a job not yet saved. version: of the file as it was opened."""

    token: str
    file: str = ""
    version: str = ""
    fleet: str = EXAMPLE
    answers: Answers = field(default_factory=dict)
    own: frozenset[str] = frozenset()

    @property
    def draft(self) -> Draft:
        return Draft(self.token, self.file, self.version, self.fleet, self.answers)


@dataclass(frozen=True)
class Look:
    """What a form comes to: faults by question, faults of the whole, or a glance."""

    faults: dict[str, str]
    problems: tuple[str, ...] = ()
    glance: Glance | None = None


def opened(store: Store, rules: Rules, file: str, fleet: str) -> Form:
    """The form of a file, or a blank one. Raises InputError.

    Its machines are the ones it was last answered with; else the only fleet there is. Among several, somebody has to
    choose: another yard's machines are another answer.
    """
    fleet = _fleet_of(fleet, store.remembered(file), store)
    if not file:
        return Form(new_token(), fleet=fleet)
    text = store.read(file)
    read = answers_of(parsed(text, file).unwrap(), rules)
    return Form(new_token(), file, store.version(file), fleet, read.answers, read.own)


def _fleet_of(asked: str, remembered: str, store: Store) -> str:
    """The fleet asked for or remembered, where it is still there; the only one there is; empty among several."""
    fleets = [entry.name for entry in store.fleets()]
    for known in (asked, remembered):
        if known in (*fleets, EXAMPLE):
            return known
    return "" if len(fleets) > 1 else next(iter(fleets), EXAMPLE)


def taken_up(draft: Draft, store: Store, rules: Rules) -> Form:
    """The form of answers left unsaved."""
    own = opened(store, rules, draft.file, draft.fleet).own if draft.file and store.version(draft.file) else frozenset()
    return Form(draft.token, draft.file, draft.version, _fleet_of(draft.fleet, "", store), draft.answers, own)


def filled_in(fields: dict[str, str], store: Store, rules: Rules) -> Form:
    """The form as it was posted; answers under their questions' names. Raises InputError."""
    file = fields.get("file", "")
    own = opened(store, rules, file, EXAMPLE).own if file and store.version(file) else frozenset()
    answers = {q.id: fields.get(f"a.{q.id}", "").strip()[:_LONGEST_ANSWER] for q in questions(rules)}
    kept = {key: answer for key, answer in answers.items() if answer}
    return Form(fields.get("token", ""), file, fields.get("version", ""), fields.get("fleet", EXAMPLE), kept, own)


def asked(form: Form, rules: Rules) -> set[str]:
    """The questions these answers call for."""
    return {q.id for q in questions(rules) if applies(q, form.answers)}


def text_of(form: Form, store: Store, rules: Rules, voice: Voice = ENGLISH) -> str:
    """The job file the form makes. Raises InputError."""
    return job_text(
        store.read(form.file) if form.file and store.version(form.file) else None, form.answers, rules, voice
    )


def read(form: Form, store: Store, rules: Rules) -> tuple[Job, Fleet]:
    """Job and fleet, checked as files are. Raises InputError."""
    if not form.fleet:
        raise InputError([Said("fault.several_fleets")])
    path = store.path(form.file or "job.toml")
    job = job_of(parse_toml(path, text_of(form, store, rules), "job"), rules)
    return job, read_fleet(store.path(form.fleet), rules)


def look(form: Form, store: Store, rules: Rules, voice: Voice) -> Look:
    """Faults where there are any, else who leads."""
    faults = faults_of(form, rules, voice)
    if faults:
        return Look(faults)
    try:
        job, fleet = read(form, store, rules)
    except InputError as error:
        return Look({}, tuple(plain(voice.say(problem), store) for problem in error.problems))
    return Look({}, (), glance(job, fleet, rules, yard_of(store.folder / NAME, fleet, rules)))


def faults_of(form: Form, rules: Rules, voice: Voice) -> dict[str, str]:
    """What is wrong with single answers."""
    told = {
        q.id: fault(q, form.answers.get(q.id, ""))
        for q in questions(rules)
        if q.id not in form.own and applies(q, form.answers)
    }
    return {key: voice.say(said) for key, said in told.items() if said is not None}


def name_for(form: Form) -> str:
    """The file the form is saved to."""
    return form.file or f"{file_stem(form.answers.get('title', ''))}.toml"


def plain(problem: str, store: Store) -> str:
    """A sentence without the folder in front of the file's name."""
    return problem.replace(f"{store.folder}/", "")


def shown_choices(question: Question, answer: str, voice: Voice) -> list[tuple[str, str]]:
    """The choices, and what stands in the file where it is none of them."""
    told = choices(question, voice)
    if question.kind == "yes":
        told = [("yes", voice.text("desk_yes")), ("no", voice.text("desk_no"))]
    known = {value for value, _ in told}
    return told if not answer or answer in known else [*told, (answer, voice.text("desk_as_file", answer=answer))]
