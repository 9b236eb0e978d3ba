"""How a question is put: its words in the asker's language, the choices it shows, and the remark behind its answer."""

from pickrig.guide.questions import Question
from pickrig.report.words.voice import Voice


def asks(question: Question, voice: Voice) -> str:
    """The question itself."""
    return voice.text(question.said)


def why(question: Question, voice: Voice) -> str:
    """Why it is asked."""
    return voice.spoken(question.said, "why")


def choices(question: Question, voice: Voice) -> list[tuple[str, str]]:
    """What is written, and what is shown, of each choice."""
    return [(choice, shown(question, choice, voice)) for choice in question.choices]


def shown(question: Question, choice: str, voice: Voice) -> str:
    """A choice in words: a result of a field test as the rules have it, anything else as the catalogue does."""
    if choice in question.results:
        return voice.rule(question.results[choice])
    told: dict[str, str] = voice.words.entry(question.said).get("choices", {})
    return voice.respelled(told[choice]) if choice in told else voice.rule(choice)


def remark(question: Question, answer: str, voice: Voice) -> str:
    """What stands behind the answer in the file; empty where it says nothing more than the answer."""
    entry = voice.words.entry(question.said)
    if "lines" in entry:
        return voice.spoken(question.said, "lines")
    told = shown(question, answer, voice) if answer in question.choices else ""
    return "" if told == answer else told
