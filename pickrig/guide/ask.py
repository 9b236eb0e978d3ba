"""The conversation on a terminal: one question after another, back and forth, never losing an answer."""

import textwrap
from collections.abc import Callable

from pickrig.guide.questions import Answers, Question, asked_of, fault
from pickrig.rulebook import Rules

Say = Callable[[str], None]
Hear = Callable[[str], str]  # a prompt, and what was typed
Keep = Callable[[Answers], None]

BACK, WHY, LEAVE_OUT = "<", "?", "-"
_WIDTH = 78


def explain_keys(say: Say) -> None:
    """How the conversation is steered, once at its start."""
    say(
        f"Enter leaves a question open, or keeps what stands in [brackets]. {WHY} says why it\nis asked, {BACK} goes "
        f"back, {LEAVE_OUT} takes an answer out. Ctrl-C leaves and keeps what was answered.\n"
    )


def ask(answers: Answers, rules: Rules, hear: Hear, say: Say, keep: Keep) -> Answers:
    """Ask what these answers call for, each answer kept as it is given. Interruptions pass through."""
    place = 0
    while place < len(wanted := asked_of(answers, rules)):
        question = wanted[place]
        reply = _one(question, answers.get(question.id, ""), hear, say)
        if reply == BACK:
            place = max(place - 1, 0)
            continue
        answers = answers | {question.id: reply}
        keep(answers)
        place += 1
    return answers


def yes(prompt: str, hear: Hear, usual: bool) -> bool:
    """A yes or a no; Enter for the usual one."""
    while True:
        reply = hear(f"{prompt} ({'Y/n' if usual else 'y/N'}) ").strip().lower()
        if reply in ("", "y", "yes", "n", "no"):
            return usual if not reply else reply.startswith("y")


def _one(question: Question, now: str, hear: Hear, say: Say) -> str:
    """One question until it has an answer that can be read, is left out, or is gone back from."""
    say("\n".join(textwrap.wrap(question.asks, _WIDTH)))
    for number, (_, shown) in enumerate(question.choices, 1):
        say(f"  {number:>2}  {shown}")
    while True:
        reply = hear(_prompt(question, now)).strip()
        if reply == WHY:
            say("\n".join(textwrap.wrap(question.why, _WIDTH, initial_indent="  ", subsequent_indent="  ")))
            continue
        if reply == BACK:
            return BACK
        answer = "" if reply == LEAVE_OUT else _meant(question, reply) if reply else now
        wrong = _unlisted(question, answer, now) or fault(question, answer)
        if not wrong:
            return answer
        read = f"“{answer[:60]}” " if answer else "This "
        say("\n".join(textwrap.wrap(f"{read}{wrong}", _WIDTH, initial_indent="  ", subsequent_indent="  ")))


def _prompt(question: Question, now: str) -> str:
    hint = {
        "choice": f"1 to {len(question.choices)}",
        "yes": "y or n",
        "quantity": f"such as {question.example}",
        "count": f"such as {question.example}",
        "date": f"such as {question.example}",
        "text": f"such as {question.example}",
    }[question.kind]
    shown = dict(question.choices).get(now, now)
    return f"  {hint}{f' [{shown}]' if now else ''}: "


def _meant(question: Question, reply: str) -> str:
    """The number of a choice or its word, y for yes; anything else as typed."""
    if question.kind == "choice":
        if reply.isascii() and reply.isdigit() and 1 <= int(reply[:6]) <= len(question.choices):
            return question.choices[int(reply) - 1][0]
        return reply.lower()
    if question.kind == "yes":
        return {"y": "yes", "n": "no"}.get(reply.lower(), reply.lower())
    return reply


def _unlisted(question: Question, answer: str, now: str) -> str:
    """A choice that is none of those shown, nor what stands already."""
    if question.kind != "choice" or not answer or answer == now or answer in dict(question.choices):
        return ""
    return f"is not one of them; give a number from 1 to {len(question.choices)}"
