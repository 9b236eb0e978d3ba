"""From the first question to a job file that reads well."""

import textwrap
from pathlib import Path

from pickrig.errors import InputError
from pickrig.facts import Said
from pickrig.files import write_whole
from pickrig.guide.ask import BACK, LEAVE_OUT, WHY, Talk, ask, explain_keys
from pickrig.guide.draft import NAME, drop_draft, keep_draft, read_draft
from pickrig.guide.job_text import answers_of, job_text
from pickrig.guide.names import file_stem
from pickrig.guide.questions import Answers
from pickrig.inputs.job_file import job_of
from pickrig.reading import parse_toml, read_toml
from pickrig.rulebook import Rules


def start(file: Path | None, rules: Rules, talk: Talk) -> Path:
    """Ask, write a commented job file, and give its path. A file that is there is changed only after a yes.

    Answers are kept beside the file as they are given, so that Ctrl-C loses none. Raises InputError and OutputError.
    """
    draft = (file or Path("x")).parent / NAME
    old = read_toml(file, "job") if file is not None and file.exists() else None
    if old is not None and "task" not in old.data:
        raise InputError([Said("fault.no_job_file", file=str(file))])
    answers = answers_of(old.data, rules).answers if old else {}
    kept = read_draft(draft)
    voice = talk.voice
    if kept and talk.yes(voice.text("start_kept", job=kept.get("title", "?")), usual=True):
        answers = answers | kept
    explain_keys(talk)
    while True:
        answers = ask(answers, rules, talk, lambda so_far: keep_draft(draft, so_far))
        text = job_text(old.text if old else None, answers, rules, voice)
        problems = _problems(file or Path("job.toml"), text, rules)
        if not problems:
            break
        talk.say(voice.text("start_clash"))
        for problem in problems:
            talk.say(textwrap.fill(talk.voice.say(problem), 78, initial_indent="  - ", subsequent_indent="    "))
        talk.say(voice.text("start_again") + "\n")
    path = _free(file or _named(answers, talk), talk)
    write_whole(path, text)
    drop_draft(draft)
    talk.say("\n" + voice.text("start_written", path=str(path)))
    return path


def _problems(path: Path, text: str, rules: Rules) -> list[Said]:
    try:
        job_of(parse_toml(path, text, "job"), rules)
    except InputError as error:
        return error.problems
    return []


def _named(answers: Answers, talk: Talk) -> Path:
    usual = f"{file_stem(answers.get('title', ''))}.toml"
    return Path(_typed(talk.voice.text("start_name", usual=usual), "start_why_name", talk) or usual)


def _typed(prompt: str, why: str, talk: Talk) -> str:
    """What was typed; the signs that steer the questions are no name of a file."""
    while True:
        reply = talk.hear(f"{prompt} ").strip()
        if reply not in (WHY, BACK, LEAVE_OUT):
            return reply
        talk.explain(talk.voice.text(why))


def _free(path: Path, talk: Talk) -> Path:
    """A name nothing stands under, or one that may be written over."""
    voice = talk.voice
    while True:
        wrong = voice.text("start_other_name")
        if path.is_dir():
            wrong = voice.text("start_is_folder", path=str(path))
        elif not path.parent.is_dir():
            wrong = voice.text("start_no_folder", folder=str(path.parent))
        elif not path.exists() or talk.yes(voice.text("start_over", path=str(path)), usual=False):
            return path
        path = Path(_typed(wrong, "start_why_name", talk) or path)


def fleet_path(given: Path | None, example: Path, talk: Talk) -> Path:
    """The fleet file given, or asked for; Enter for the shipped example's machines."""
    path = given
    while path is None:
        reply = _typed(talk.voice.text("start_fleet"), "start_why_fleet", talk)
        path = Path(reply) if reply else example
        if not path.is_file():
            talk.explain(talk.voice.text("start_no_file", path=str(path)))
            path = None
    return path
