"""From the first question to a job file that reads well."""

import textwrap
from pathlib import Path

from pickrig.errors import InputError
from pickrig.files import write_whole
from pickrig.guide.ask import BACK, LEAVE_OUT, WHY, Hear, Say, ask, explain_keys, yes
from pickrig.guide.draft import NAME, drop_draft, keep_draft, read_draft
from pickrig.guide.job_text import answers_of, job_text
from pickrig.guide.names import file_stem
from pickrig.guide.questions import Answers
from pickrig.inputs.job_file import job_of
from pickrig.reading import parse_toml, read_toml
from pickrig.rulebook import Rules


def start(file: Path | None, rules: Rules, hear: Hear, say: Say) -> Path:
    """Ask, write a commented job file, and give its path. A file that is there is changed only after a yes.

    Answers are kept beside the file as they are given, so that Ctrl-C loses none. Raises InputError and OutputError.
    """
    draft = (file or Path("x")).parent / NAME
    old = read_toml(file, "job") if file is not None and file.exists() else None
    if old is not None and "task" not in old.data:
        raise InputError([f"{file}: is no job file; give another name, or none"])
    answers = answers_of(old.data, rules).answers if old else {}
    kept = read_draft(draft)
    if kept and yes(f"There are answers kept for “{kept.get('title', 'a job')}”. Go on with them?", hear, usual=True):
        answers = answers | kept
    explain_keys(say)
    while True:
        answers = ask(answers, rules, hear, say, lambda so_far: keep_draft(draft, so_far))
        text = job_text(old.text if old else None, answers, rules)
        problems = _problems(file or Path("job.toml"), text, rules)
        if not problems:
            break
        say("These answers do not go together yet:")
        for problem in problems:
            say(textwrap.fill(problem, 78, initial_indent="  - ", subsequent_indent="    "))
        say("Once more through them; Enter keeps what is right.\n")
    path = _free(file or _named(answers, hear, say), hear, say)
    write_whole(path, text)
    drop_draft(draft)
    say(f"\nWritten: {path}")
    return path


def _problems(path: Path, text: str, rules: Rules) -> list[str]:
    try:
        job_of(parse_toml(path, text, "job"), rules)
    except InputError as error:
        return error.problems
    return []


_WHY_A_NAME = (
    "The answers are written into a file of this name, to be changed and asked again; Enter takes the one shown."
)
_WHY_A_FLEET = (
    "The machines to choose from stand in a file of their own; Enter takes those of an example, which are invented."
)


def _named(answers: Answers, hear: Hear, say: Say) -> Path:
    usual = f"{file_stem(answers.get('title', ''))}.toml"
    return Path(_typed(f"Name of the job file [{usual}]: ", _WHY_A_NAME, hear, say) or usual)


def _typed(prompt: str, why: str, hear: Hear, say: Say) -> str:
    """What was typed; the signs that steer the questions are no name of a file."""
    while True:
        reply = hear(prompt).strip()
        if reply not in (WHY, BACK, LEAVE_OUT):
            return reply
        say(textwrap.fill(why, 78, initial_indent="  ", subsequent_indent="  "))


def _free(path: Path, hear: Hear, say: Say) -> Path:
    """A name nothing stands under, or one that may be written over."""
    while True:
        wrong = "Another name: "
        if path.is_dir():
            wrong = f"{path} is a folder. Another name: "
        elif not path.parent.is_dir():
            wrong = f"There is no folder {path.parent}. Another name: "
        elif not path.exists() or yes(f"{path} is there already. Write over it?", hear, usual=False):
            return path
        path = Path(_typed(wrong, _WHY_A_NAME, hear, say) or path)


def fleet_path(given: Path | None, example: Path, hear: Hear, say: Say) -> Path:
    """The fleet file given, or asked for; Enter for the shipped example's machines."""
    path = given
    while path is None:
        reply = _typed("Which file has your machines? Enter for an invented contractor's: ", _WHY_A_FLEET, hear, say)
        path = Path(reply) if reply else example
        if not path.is_file():
            say(f"  {path}: no such file")
            path = None
    return path
