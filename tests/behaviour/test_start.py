"""`pickrig start`: the conversation, the file it writes, and what is never lost or written over."""

import tomllib
from pathlib import Path

import pytest
from typer.testing import CliRunner

from pickrig.cli import app
from pickrig.errors import InputError
from pickrig.guide.ask import Talk
from pickrig.guide.draft import NAME, read_draft
from pickrig.guide.job_text import answers_of, job_text
from pickrig.guide.names import file_stem
from pickrig.guide.questions import asked_of, fault, questions
from pickrig.guide.start import start
from pickrig.guide.wording import asks, why
from pickrig.inputs import read_job
from pickrig.inputs.job_file import job_of
from pickrig.plans.pick.answer import pick
from pickrig.reading import parse_toml
from pickrig.report.words.catalogue import languages
from pickrig.report.words.reader import voice_of
from pickrig.report.words.voice import ENGLISH
from tests.conftest import english

EXAMPLES = Path(__file__).parents[2] / "examples"
JOBS = sorted(p.name for p in EXAMPLES.glob("*.toml") if "task" in tomllib.loads(p.read_text(encoding="utf-8")))
LOT = {
    "title": "Back lot, pavers",
    "work": "carry pallets",
    "load": "1,600 lb",
    "pieces": "14",
    "split": "yes",
    "soil": "lean clay",
    "wetness": "wet",
    "rain": "0.5 in",
    "job_day": "2026-04-21",
    "paving": "asphalt",
    "paved_share": "20 %",
    "lawn_share": "10 %",
    "gate": "72 in",
}
SNOW = {"title": "Shop", "work": "clear snow", "snow_depth": "8 in", "snow_length": "150 ft", "snow_breadth": "200 ft"}


class Typist:
    """Answers by the words of the prompt before; anything else gets Enter. Interrupts where told to."""

    def __init__(self, *replies, leaves=False):
        self.replies, self.leaves, self.told = list(replies), leaves, []

    def hear(self, prompt):
        self.told.append(prompt)
        assert len(self.told) < 1000, "the conversation goes round in circles"
        if self.replies:
            return self.replies.pop(0)
        if self.leaves:
            raise KeyboardInterrupt
        return ""

    def say(self, text):
        self.told.append(text)

    @property
    def talk(self):
        return Talk(self.hear, self.say, ENGLISH)


def test_answers_make_a_commented_file_that_reads_as_they_were_meant(rules, tmp_path):
    text = job_text(None, LOT, rules)
    job = job_of(parse_toml(tmp_path / "lot.toml", text, "job"), rules)
    assert (job.title, job.task.kind, job.task.pieces, job.task.split) == (
        "Back lot, pavers",
        "carry pallets",
        14,
        True,
    )
    assert job.task.load == pytest.approx(1600 * 0.45359237)
    assert job.ground.travel == pytest.approx({"asphalt": 0.2, "turf": 0.1, "site soil": 0.7})
    assert job.weather is not None
    assert job.weather.days[-1].rain == pytest.approx(0.5 * 0.0254)
    assert job.access.gate == pytest.approx(72 * 0.0254)
    assert "# a ribbon of 1 to 2 in" in text or "ribbon of 1 to 2 in" in text
    assert answers_of(tomllib.loads(text), rules).answers == LOT


@pytest.mark.parametrize("answers", [LOT, SNOW])
def test_every_choice_of_every_question_is_one_the_files_know(rules, tmp_path, answers):
    for question in asked_of(answers, rules):
        for choice in question.choices:
            changed = answers | {question.id: choice}
            changed |= {"paved_share": "20 %"} if question.id == "paving" else {}
            changed |= {"soil": "silt", "wetness": "moist"} if choice in ("gravel", "grass") and answers is SNOW else {}
            if question.id == "work" and (choice == "clear snow") != (answers is SNOW):
                continue
            if question.id == "soil":  # a test or a forecast may not go with it
                changed |= {"rain": ""}
            job_of(parse_toml(tmp_path / "a.toml", job_text(None, changed, rules), "job"), rules)


@pytest.mark.parametrize("language", languages())
def test_every_example_is_itself_an_answer_and_every_question_has_words_and_a_reason(rules, language):
    voice = voice_of(language, None, "US", rules)
    for question in questions(rules):
        assert asks(question, voice), question.id
        assert why(question, voice), question.id
        assert question.kind in ("choice", "yes") or question.example, question.id
        assert not question.example or fault(question, question.example) is None, question.id


@pytest.mark.parametrize("name", JOBS)
def test_a_file_answered_as_it_stands_stays_as_it_is(rules, name):
    text = (EXAMPLES / name).read_text(encoding="utf-8")
    assert job_text(text, answers_of(tomllib.loads(text), rules).answers, rules) == text


@pytest.mark.parametrize("name", JOBS)
def test_one_changed_answer_changes_that_and_keeps_comments(rules, name):
    text = (EXAMPLES / name).read_text(encoding="utf-8")
    read = answers_of(tomllib.loads(text), rules)
    changed = job_text(text, read.answers | {"gate": "51 in"}, rules)
    data = tomllib.loads(changed)
    assert data.pop("access")["gate"] == "51 in"
    before = tomllib.loads(text)
    before.pop("access", None)
    assert data == before
    assert changed.splitlines()[0] == text.splitlines()[0]


def test_travel_the_questions_cannot_say_is_the_files_own(rules):
    text = 'title = "x"\n[task]\nkind = "sweep"\n[ground.travel]\nasphalt = "40 %"\nconcrete = "60 %"\n'
    read = answers_of(tomllib.loads(text), rules)
    assert {"paving", "paved_share", "lawn_share"} <= read.own
    assert "concrete" in job_text(text, read.answers | {"paving": "gravel", "paved_share": "5 %"}, rules)


def test_another_kind_of_work_takes_out_what_only_the_old_one_had(rules, tmp_path):
    text = job_text(job_text(None, LOT, rules), LOT | SNOW, rules)
    job = job_of(parse_toml(tmp_path / "a.toml", text, "job"), rules)
    assert job.snow is not None
    assert job.task.load is None
    assert job.ground.soil is None


def test_a_conversation_writes_the_file_and_drops_the_draft(rules, tmp_path):
    path = tmp_path / "lot.toml"
    typist = Typist("Back lot", "?", "1", "16", "1,600 lb", "<", "1,700 lb", "14", "y", "4", "3")
    assert start(path, rules, typist.talk) == path
    assert read_job(path, rules).task.load == pytest.approx(1700 * 0.45359237)
    assert not (tmp_path / NAME).exists()
    told = "\n".join(typist.told)
    assert "decides which attachment" in told
    assert "has no unit" in told


def test_left_half_way_it_goes_on_from_there(rules, tmp_path):
    path = tmp_path / "lot.toml"
    leaver = Typist("Back lot", "1", "1,600 lb", leaves=True)
    with pytest.raises(KeyboardInterrupt):
        start(path, rules, leaver.talk)
    assert not path.exists()
    assert read_draft(tmp_path / NAME) == {"title": "Back lot", "work": "carry pallets", "load": "1,600 lb"}
    back = Typist("y", "", "", "", "", "", "4")
    start(path, rules, back.talk)
    assert read_job(path, rules).title == "Back lot"


def test_nothing_is_written_over_without_a_yes(rules, tmp_path):
    path, other = tmp_path / "lot.toml", tmp_path / "other.toml"
    text = '# mine\ntitle = "Mine"\n[task]\nkind = "sweep"\n[ground]\nsoil = "sand"\n'
    path.write_text(text, encoding="utf-8")

    def hear(prompt):
        if "Write over it" in prompt:
            return "n"
        return str(other) if "Another name" in prompt else ""

    assert start(path, rules, Talk(hear, lambda _: None, ENGLISH)) == other
    assert path.read_text(encoding="utf-8") == text
    assert other.exists()


def test_answers_that_do_not_go_together_are_told_and_asked_again(rules, tmp_path):
    rounds = []

    def hear(prompt):
        if "Back lot" in prompt and "[" not in prompt:
            return "Lot"
        if "1 to 11" in prompt:
            rounds.append(prompt)
            return "2"
        return "4" if "1 to 10" in prompt and len(rounds) > 1 else ""  # no soil at first

    told = []
    start(tmp_path / "lot.toml", rules, Talk(hear, told.append, ENGLISH))
    assert len(rounds) == 2
    assert any("says nothing of the soil" in " ".join(text.split()) for text in told)


def test_a_file_that_is_no_job_is_refused(rules):
    typist = Typist()
    with pytest.raises(InputError, match="job file"):
        start(EXAMPLES / "fleet.toml", rules, typist.talk)


@pytest.mark.parametrize(
    ("title", "stem"),
    [
        ("Back lot, pavers", "back-lot-pavers"),
        ("Überlänge Straße", "uberlange-strae"),
        ("../../etc/passwd", "etc-passwd"),
        ("<script>", "script"),
        ("山", "job"),
        ("CON", "con-job"),
        ("x" * 10_000, "x" * 60),
    ],
)
def test_any_title_makes_a_file_name(title, stem):
    assert file_stem(title) == stem


def test_the_command_asks_writes_and_answers(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    typed = [
        "Back lot",
        "1",
        "1,600 lb",
        "14",
        "y",
        "4",
        "3",
        "",  # does water stand, does it stick: nobody looked
        "",
        "3",
        "",
        "2",
        "20 %",
        "",
        "72 in",
        "",
        "",
        "",
        "",
        "",
        "",
        "",
        "",
        "",
    ]
    result = CliRunner().invoke(app, ["start"], input="\n".join([*typed, "", "", "", "", ""]) + "\n")
    assert result.exit_code in (0, 3), result.output
    assert (tmp_path / "back-lot.toml").exists()
    assert (tmp_path / "pickrig-back-lot.html").exists()


def test_the_command_left_by_ctrl_d_says_that_nothing_is_lost(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    result = CliRunner().invoke(app, ["start"], input="Back lot\n1\n")
    assert result.exit_code == 130
    assert "is kept" in result.output
    assert list(tmp_path.iterdir()) == [tmp_path / NAME]


@pytest.mark.parametrize(
    "work", [{"work": "trench", "run": "180 ft"}, {"work": "drill holes", "holes": "40"}], ids=["trench", "holes"]
)
def test_a_beginner_who_knows_no_rate_gets_an_answer_that_asks_for_it(rules, fleet, tmp_path, work):
    answers = {key: value for key, value in LOT.items() if key not in ("rain", "job_day")} | work
    job = job_of(parse_toml(tmp_path / "a.toml", job_text(None, answers, rules), "job"), rules)
    answer = pick(job, fleet, rules, draws=400)
    assert answer.ranking[0].finding("produces").verdict == "unknown"
    assert "per_hour" in english(answer.ranking[0].finding("produces").says)
    assert any("per_hour" in english(proviso) for proviso in answer.provisos) == (answer.pick is not None)


@pytest.mark.parametrize("sign", ["?", "<", "-"])
def test_a_sign_that_steers_is_no_name_of_a_file(rules, tmp_path, monkeypatch, sign):
    monkeypatch.chdir(tmp_path)
    lot = Typist(*[LOT.get(q.id, "") for q in asked_of(LOT, rules)], sign, "lot.toml")
    path = start(None, rules, lot.talk)
    assert path == Path("lot.toml")
    assert [p.name for p in tmp_path.iterdir()] == ["lot.toml"]
    assert any("into a file of this name" in told for told in lot.told)
