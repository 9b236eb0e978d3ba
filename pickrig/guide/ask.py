"""The conversation on a terminal: one question after another, back and forth, never losing an answer."""

import textwrap
from collections.abc import Callable
from dataclasses import dataclass

from pickrig.facts import Said
from pickrig.guide.questions import Answers, Question, asked_of, fault
from pickrig.guide.wording import asks, choices, shown, why
from pickrig.report.words.voice import Voice
from pickrig.rulebook import Rules

Say = Callable[[str], None]
Hear = Callable[[str], str]  # a prompt, and what was typed
Keep = Callable[[Answers], None]

BACK, WHY, LEAVE_OUT = "<", "?", "-"
_WIDTH = 78


@dataclass(frozen=True)
class Talk:
    """Somebody to talk to: how to say and to hear, and in which voice."""

    hear: Hear
    say: Say
    voice: Voice

    def explain(self, text: str) -> None:
        """A remark, set in."""
        self.say("\n".join(textwrap.wrap(text, _WIDTH, initial_indent="  ", subsequent_indent="  ")))

    def yes(self, prompt: str, usual: bool) -> bool:
        """A yes or a no; Enter for the usual one."""
        words = self.voice.words.wing("common")["yes"]
        while True:
            reply = self.hear(f"{prompt} ({words['usual_yes' if usual else 'usual_no']}) ").strip().lower()
            if reply in ("", *words["yes"], *words["no"]):
                return usual if not reply else reply in words["yes"]


def explain_keys(talk: Talk) -> None:
    """How the conversation is steered, once at its start."""
    talk.say("\n".join(textwrap.wrap(talk.voice.text("start_keys", why=WHY, back=BACK, out=LEAVE_OUT), _WIDTH)) + "\n")


def ask(answers: Answers, rules: Rules, talk: Talk, keep: Keep) -> Answers:
    """Ask what these answers call for, each answer kept as it is given. Interruptions pass through."""
    place = 0
    while place < len(wanted := asked_of(answers, rules)):
        question = wanted[place]
        reply = _one(question, answers.get(question.id, ""), talk)
        if reply == BACK:
            place = max(place - 1, 0)
            continue
        answers = answers | {question.id: reply}
        keep(answers)
        place += 1
    return answers


def _one(question: Question, now: str, talk: Talk) -> str:
    """One question until it has an answer that can be read, is left out, or is gone back from."""
    talk.say("\n".join(textwrap.wrap(asks(question, talk.voice), _WIDTH)))
    for number, (_, told) in enumerate(choices(question, talk.voice), 1):
        talk.say(f"  {number:>2}  {told}")
    while True:
        reply = talk.hear(_prompt(question, now, talk.voice)).strip()
        if reply == WHY:
            talk.explain(why(question, talk.voice))
            continue
        if reply == BACK:
            return BACK
        answer = "" if reply == LEAVE_OUT else _meant(question, reply, talk.voice) if reply else now
        wrong = _unlisted(question, answer, now) or fault(question, answer)
        if wrong is None:
            return answer
        talk.explain(
            talk.voice.text("start_read", answer=answer[:60], wrong=wrong) if answer else talk.voice.say(wrong)
        )


def _prompt(question: Question, now: str, voice: Voice) -> str:
    if question.kind == "choice":
        hint = voice.text("start_number", most=len(question.choices))
    elif question.kind == "yes":
        hint = voice.text("start_yes_no")
    else:
        hint = voice.text("desk_such_as", example=question.example)
    told = shown(question, now, voice) if now in question.choices else now
    return f"  {hint}{f' [{told}]' if now else ''}: "


def _meant(question: Question, reply: str, voice: Voice) -> str:
    """The number of a choice or its word, y for yes; anything else as typed."""
    if question.kind == "choice":
        if reply.isascii() and reply.isdigit() and 1 <= int(reply[:6]) <= len(question.choices):
            return question.choices[int(reply) - 1]
        return reply.lower()
    if question.kind == "yes":
        words = voice.words.wing("common")["yes"]
        word = reply.lower()
        return "yes" if word in words["yes"] else "no" if word in words["no"] else word
    return reply


def _unlisted(question: Question, answer: str, now: str) -> Said | None:
    """A choice that is none of those shown, nor what stands already."""
    if question.kind != "choice" or not answer or answer == now or answer in question.choices:
        return None
    return Said("start_not_one", most=len(question.choices))
