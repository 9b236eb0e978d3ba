"""The desk as its browser meets it: what it refuses, what it shows, what it saves, and what it never loses."""

import re
import shutil
import tomllib
from pathlib import Path

import html5lib
import pytest
from starlette.testclient import TestClient

from pickrig.desk.app import build
from pickrig.desk.guard import LARGEST_FORM
from pickrig.desk.store import EXAMPLE
from pickrig.inputs import read_fleet, read_job
from pickrig.log.store import NAME, Log
from pickrig.plans.pick.answer import pick
from pickrig.plans.pick.quick_look import glance
from pickrig.report.pick.sheet import as_sheet
from tests.conftest import english

EXAMPLES = Path(__file__).parents[2] / "examples"
HERE = "http://127.0.0.1:8137"
TOKEN = "0123456789abcdef"
OWN = {"origin": HERE}
LOT = {
    "token": TOKEN,
    "file": "",
    "version": "",
    "fleet": "fleet.toml",
    "a.title": "Back lot, pavers",
    "a.work": "carry pallets",
    "a.load": "1,600 lb",
    "a.pieces": "14",
    "a.split": "yes",
    "a.soil": "lean clay",
    "a.wetness": "wet",
    "a.gate": "72 in",
}
HOSTILE = ["<script>alert(1)</script>", "\"><img src=x onerror=alert(1)>'", "{{ 7*7 }}", "x" * 10_000, "a & b < c"]


@pytest.fixture
def folder(tmp_path):
    for name in ("muddy-lot.toml", "fleet.toml"):
        shutil.copy(EXAMPLES / name, tmp_path)
    return tmp_path


@pytest.fixture
def desk(folder, rules):
    return TestClient(build(folder, rules, 8137), base_url=HERE, headers=OWN, follow_redirects=False)


def field(html, name):
    """The value of a hidden field of a page."""
    found = re.search(rf'name="{re.escape(name)}" value="([^"]*)"', html)
    assert found, name
    return found[1]


@pytest.mark.parametrize(
    "host", ["evil.example", "127.0.0.1:9", "evil.example:8137", "127.0.0.1.evil.example:8137", ""]
)
def test_other_hosts_are_refused(desk, host):
    assert desk.get("/", headers={"host": host}).status_code == 421


@pytest.mark.parametrize("host", ["localhost:8137", "[::1]:8137", "LOCALHOST:8137"])
def test_this_machine_by_its_other_names_is_not(desk, host):
    assert desk.get("/", headers={"host": host}).status_code == 200


@pytest.mark.parametrize("origin", ["http://evil.example", "null", "https://127.0.0.1:8137", "http://127.0.0.1:80", ""])
@pytest.mark.parametrize("path", ["/job", "/glance", "/fleet", "/drop"])
def test_posts_from_other_sites_are_refused_and_write_nothing(desk, folder, origin, path):
    before = sorted(folder.iterdir())
    assert desk.post(path, data=LOT | {"do": "save"}, headers={"origin": origin}).status_code == 403
    assert sorted(folder.iterdir()) == before


def test_a_post_without_an_origin_is_refused(folder, rules):
    bare = TestClient(build(folder, rules, 8137), base_url=HERE)
    assert bare.post("/glance", data=LOT).status_code == 403


def test_what_is_too_large_is_refused_with_and_without_its_length(desk):
    large = b"a.title=" + b"x" * LARGEST_FORM
    assert desk.post("/glance", content=large).status_code == 413
    assert desk.post("/glance", content=iter([large[:1000], large])).status_code == 413
    assert desk.post("/glance", content="&".join(f"f{n}=1" for n in range(600))).status_code == 413


@pytest.mark.parametrize(
    "name", ["../secret.toml", "/etc/passwd", "a/b.toml", ".hidden.toml", "x.txt", "nul\0.toml", ""]
)
def test_files_outside_the_folder_are_neither_read_nor_written(desk, folder, name):
    (folder.parent / "secret.toml").write_text('title = "secret"\n[task]\nkind = "sweep"\n', encoding="utf-8")
    for path in ("/page", "/sheet", "/file"):
        answer = desk.get(path, params={"file": name})
        assert answer.status_code == 400
        assert "secret&" not in answer.text
        assert "root:" not in answer.text
    saved = desk.post("/job", data=LOT | {"file": name, "do": "save", "a.title": "Harmless"})
    assert saved.status_code in (303, 400)
    assert (folder.parent / "secret.toml").read_text(encoding="utf-8").startswith('title = "secret"')
    assert {p.name for p in folder.glob("*.toml")} <= {"muddy-lot.toml", "fleet.toml", "harmless.toml"}


def test_a_link_out_of_the_folder_is_not_followed(desk, folder):
    (folder.parent / "outside.toml").write_text('title = "outside"\n[task]\nkind = "sweep"\n', encoding="utf-8")
    (folder / "inside.toml").symlink_to(folder.parent / "outside.toml")
    assert desk.get("/file", params={"file": "inside.toml"}).status_code == 400


@pytest.mark.parametrize(
    "path", ["/", "/job", "/job?file=muddy-lot.toml", "/fleet?file=fleet.toml&machine=0", "/job?file=no.toml"]
)
def test_every_page_is_whole_guarded_and_knows_no_other_place(desk, path):
    answer = desk.get(path)
    html5lib.HTMLParser(strict=True).parse(answer.text)
    policy = answer.headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "frame-ancestors 'none'" in policy
    assert "'unsafe-inline'" not in policy.split("script-src")[1].split(";")[0]
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert not re.search(r'(?:src|href|action)="(?:https?:)?//', answer.text)


def test_from_an_empty_page_to_a_hand_over_sheet(desk, folder, rules):
    token = field(desk.get("/job").text, "token")
    saved = desk.post("/job", data=LOT | {"token": token, "do": "save"})
    assert saved.status_code == 303
    assert "back-lot-pavers.toml" in saved.headers["location"]
    job, fleet = read_job(folder / "back-lot-pavers.toml", rules), read_fleet(folder / "fleet.toml", rules)
    where = {"file": "back-lot-pavers.toml", "fleet": "fleet.toml"}
    assert desk.get("/sheet", params=where).text == as_sheet(pick(job, fleet, rules))
    assert desk.get("/page", params=where).text.startswith("<!doctype html>")


def test_a_look_is_the_same_answer_as_the_whole_page(desk, folder, rules):
    told = desk.post("/glance", data=LOT).json()
    desk.post("/job", data=LOT | {"do": "save"})
    whole = pick(read_job(folder / "back-lot-pavers.toml", rules), read_fleet(folder / "fleet.toml", rules), rules)
    order = re.findall(r"<b>(.*?)</b>", told["html"])
    assert order[: sum(s.usable for s in whole.ranking)] == [s.name for s in whole.ranking if s.usable]
    assert told["faults"] == {}


def test_a_narrower_gate_changes_who_leads(desk):
    wide = desk.post("/glance", data=LOT).json()["html"]
    narrow = desk.post("/glance", data=LOT | {"a.gate": "42 in"}).json()["html"]
    assert "Best bet: Wide-track 68" in wide
    assert "be Stand-on 36" in narrow


def test_faults_are_told_at_their_question_and_nothing_is_saved(desk, folder):
    wrong = LOT | {"a.gate": "72", "a.pieces": "many"}
    told = desk.post("/glance", data=wrong).json()
    assert set(told["faults"]) == {"gate", "pieces"}
    answer = desk.post("/job", data=wrong | {"do": "save"})
    assert answer.status_code == 422
    assert "as no unit" in answer.text
    assert 'value="many"' in answer.text
    assert not (folder / "back-lot-pavers.toml").exists()


def test_a_saved_change_keeps_comments_and_all_that_was_not_asked(desk, folder):
    page = desk.get("/job?file=muddy-lot.toml&fleet=fleet.toml").text
    before = tomllib.loads((folder / "muddy-lot.toml").read_text(encoding="utf-8"))
    posted = LOT | {"file": "muddy-lot.toml", "version": field(page, "version"), "do": "save"}
    posted |= {"a.title": before["title"], "a.headroom": "open", "a.paving": "asphalt", "a.paved_share": "20 %"}
    assert desk.post("/job", data=posted | {"a.gate": "66 in"}).status_code == 303
    text = (folder / "muddy-lot.toml").read_text(encoding="utf-8")
    assert text.startswith("# Invented job: a wet back lot")
    assert tomllib.loads(text) == before | {"access": {"gate": "66 in", "headroom": "open"}}


def test_two_tabs_lose_nothing(desk, folder):
    page = desk.get("/job?file=muddy-lot.toml").text
    posted = LOT | {"file": "muddy-lot.toml", "version": field(page, "version"), "do": "save"}
    first = desk.post("/job", data=posted | {"a.gate": "60 in"})
    second = desk.post("/job", data=posted | {"a.gate": "50 in", "token": "fedcba9876543210"})
    assert "said=saved" in first.headers["location"]
    assert "said=beside" in second.headers["location"]
    gates = [tomllib.loads(p.read_text(encoding="utf-8"))["access"]["gate"] for p in sorted(folder.glob("muddy*"))]
    assert sorted(gates) == ["50 in", "60 in"]


def test_a_new_job_never_lands_on_an_old_one_of_the_same_name(desk, folder):
    old = (folder / "muddy-lot.toml").read_text(encoding="utf-8")
    desk.post("/job", data=LOT | {"a.title": "Muddy lot", "do": "save"})
    assert (folder / "muddy-lot.toml").read_text(encoding="utf-8") == old
    assert (folder / "muddy-lot 2.toml").exists()


def test_a_crash_loses_no_answer(desk, folder, rules):
    desk.post("/glance", data=LOT | {"a.gate": "55 in"})
    again = TestClient(build(folder, rules, 8137), base_url=HERE, headers=OWN)
    home = again.get("/").text
    assert "Left unsaved" in home
    assert f"draft={TOKEN}" in home
    assert 'value="55 in"' in again.get(f"/job?draft={TOKEN}").text
    again.post("/drop", data={"token": TOKEN})
    assert "Left unsaved" not in again.get("/").text


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_names_are_text(desk, name):
    for answer in (
        desk.post("/job", data=LOT | {"a.title": name, "a.gate": name, "a.work": name}),
        desk.get("/"),
        desk.get("/job", params={"file": name, "fleet": name, "draft": name, "said": name}),
        desk.post("/fleet", data={"file": "fleet.toml", "machine": "new", "a.name": name, "a.mass": name}),
    ):
        assert answer.status_code < 500
        html5lib.HTMLParser(strict=True).parse(answer.text)
        assert "<script>alert" not in answer.text
        assert "<img" not in answer.text
        assert ">49<" not in answer.text
    assert "<script>alert" not in desk.post("/glance", data=LOT | {"a.title": name}).json()["html"]


def machine(desk, number, **answers):
    """A machine's form as the page shows it, with some answers changed."""
    page = desk.get("/fleet", params={"file": "fleet.toml", "machine": str(number)}).text
    told = dict(re.findall(r'<input id="[^"]*" name="(a\.[^"]*)" value="([^"]*)"', page))
    for select in re.findall(r'<select id="[^"]*" name="(a\.[^"]*)".*?</select>', page, flags=re.S):
        body = page.split(f'name="{select}"')[1].split("</select>")[0]
        told[select] = (re.findall(r'value="([^"]*)" selected', body) or [""])[0]
    posted = {"file": "fleet.toml", "version": field(page, "version"), "machine": str(number), "do": "save"}
    return posted | told | {f"a.{key}": value for key, value in answers.items()}


def test_a_machine_is_changed_added_and_taken_out(desk, folder, rules):
    before = read_fleet(folder / "fleet.toml", rules).machines
    assert desk.post("/fleet", data=machine(desk, 1, width="61 in")).status_code == 303
    now = read_fleet(folder / "fleet.toml", rules).machines
    assert now[1].width == pytest.approx(61 * 0.0254)
    assert [m for i, m in enumerate(now) if i != 1] == [m for i, m in enumerate(before) if i != 1]
    new = {"name": "Little one", "kind": "stand-on loader", "gear": "tracks", "size_class": "stand-on, tracks"}
    posted = {f"a.{key}": value for key, value in new.items()}
    page = desk.get("/fleet?file=fleet.toml&machine=new").text
    version = field(page, "version")
    added = {"file": "fleet.toml", "version": version, "machine": "new", "do": "save"} | posted
    assert desk.post("/fleet", data=added).status_code == 303
    assert read_fleet(folder / "fleet.toml", rules).machines[-1].name == "Little one"
    assert desk.post("/fleet", data=machine(desk, len(before)) | {"do": "remove"}).status_code == 303
    assert read_fleet(folder / "fleet.toml", rules).machines == now


@pytest.mark.parametrize(
    ("key", "value", "told"),
    [
        ("width", "62", "has no unit"),
        ("width", "62 lb", "is a weight"),
        ("name", "Wheeled 66", "also the name"),
        ("kind", "", "needs an answer"),
        ("tipping_load", "40,000 lb", "tipping"),
    ],
)
def test_a_machine_that_does_not_read_well_is_not_saved(desk, folder, key, value, told):
    before = (folder / "fleet.toml").read_bytes()
    answer = desk.post("/fleet", data=machine(desk, 1, **{key: value}))
    assert answer.status_code == 422
    assert told in answer.text
    assert (folder / "fleet.toml").read_bytes() == before


def test_the_shipped_example_is_shown_and_never_written(desk):
    before = (EXAMPLES / "fleet.toml").read_bytes()
    assert "not written to" in desk.get("/fleet", params={"file": EXAMPLE}).text
    assert desk.post("/fleet", data=machine(desk, 1, width="61 in") | {"file": EXAMPLE}).status_code == 400
    assert desk.post("/job", data=LOT | {"file": EXAMPLE, "do": "save"}).status_code >= 400
    assert (EXAMPLES / "fleet.toml").read_bytes() == before


def test_a_first_fleet_is_begun_with_its_first_machine(folder, rules):
    (folder / "fleet.toml").unlink()
    desk = TestClient(build(folder, rules, 8137), base_url=HERE, headers=OWN, follow_redirects=False)
    assert "Enter your own machines" in desk.get("/").text
    posted = {"file": "yard.toml", "machine": "new", "do": "save", "version": "", "a.name": "One", "a.gear": "tyres"}
    posted |= {"a.kind": "skid steer", "a.size_class": "wheeled, small"}
    assert desk.post("/fleet", data=posted).status_code == 303
    assert [m.name for m in read_fleet(folder / "yard.toml", rules).machines] == ["One"]


# --- holes that were found


def names(folder, rules):
    return [m.name for m in read_fleet(folder / "fleet.toml", rules).machines]


def test_a_page_opened_before_another_took_a_machine_out_still_means_its_own(desk, folder, rules):
    before = names(folder, rules)
    first, second = (marked(desk, number) | {"do": "remove"} for number in (0, 2))
    assert desk.post("/fleet", data=first).status_code == 303
    assert desk.post("/fleet", data=second).status_code == 303
    assert names(folder, rules) == [name for n, name in enumerate(before) if n not in (0, 2)]
    again = desk.post("/fleet", data=second)
    assert again.status_code == 422
    assert "changed or taken out elsewhere" in again.text
    assert names(folder, rules) == [name for n, name in enumerate(before) if n not in (0, 2)]


def test_a_page_without_the_mark_of_its_machine_changes_nothing_in_a_changed_file(desk, folder, rules):
    stale = machine(desk, 2) | {"do": "remove"}
    desk.post("/fleet", data=machine(desk, 0) | {"do": "remove"})
    before = names(folder, rules)
    assert desk.post("/fleet", data=stale).status_code == 422
    assert names(folder, rules) == before


def test_two_tabs_that_change_two_machines_both_count(desk, folder, rules):
    first, second = marked(desk, 0, width="61 in"), marked(desk, 1, width="59 in")
    assert desk.post("/fleet", data=first).status_code == 303
    assert desk.post("/fleet", data=second).status_code == 303
    widths = [m.width for m in read_fleet(folder / "fleet.toml", rules).machines[:2]]
    assert widths == pytest.approx([61 * 0.0254, 59 * 0.0254])
    assert [path.name for path in folder.glob("fleet*")] == ["fleet.toml"]


def test_a_machine_changed_in_another_tab_is_not_changed_unseen(desk, folder, rules):
    first, second = marked(desk, 0, width="61 in"), marked(desk, 0, width="59 in")
    assert desk.post("/fleet", data=first).status_code == 303
    told = desk.post("/fleet", data=second)
    assert told.status_code == 422
    assert 'value="59 in"' in told.text  # what was typed is still there
    assert read_fleet(folder / "fleet.toml", rules).machines[0].width == pytest.approx(61 * 0.0254)


def marked(desk, number, **answers):
    page = desk.get("/fleet", params={"file": "fleet.toml", "machine": str(number)}).text
    return machine(desk, number, **answers) | {"mark": field(page, "mark")}


SPOILED = [
    ("fleet.toml", 'title = "x"\n[machine]\nname = "One"\n', "two brackets"),
    ("fleet.toml", 'title = "x"\nmachine = 5\n', "two brackets"),
    ("fleet.toml", 'title = "x"\nmachine = [1, 2]\n', "two brackets"),
    ("fleet.toml", 'title = "x"\n[[machine]]\nname = "One"\ntracks = 5\n', "needs an answer"),
    ("muddy-lot.toml", 'title = "x"\ntask = 5\n', "table of its own"),
    ("muddy-lot.toml", 'title = "x"\n[task]\nkind = "sweep"\n[ground]\ntravel = 5\n', "table of its own"),
    ("muddy-lot.toml", 'title = ["x"]\n[[task]]\n', "table of its own"),
    ("muddy-lot.toml", 'title = "x"\nweather = 5\n[task]\nkind = "sweep"\n', "table of its own"),
]


@pytest.mark.parametrize(("name", "text", "told"), SPOILED, ids=[f"{s[0]} {s[1][12:40]!r}" for s in SPOILED])
def test_a_file_of_the_wrong_shape_is_told_on_every_page(desk, folder, name, text, told):
    (folder / name).write_text(text, encoding="utf-8")
    where = {"file": name, "fleet": "fleet.toml", "machine": "0"}
    answers = [desk.get(path, params=where) for path in ("/", "/job", "/fleet", "/page", "/sheet", "/file")]
    posted = {"file": name, "version": "", "do": "save", "machine": "0"} | {"a.name": "One", "a.gear": "tyres"}
    answers += [desk.post(path, data=LOT | posted) for path in ("/job", "/glance", "/fleet")]
    answers += [desk.post("/fleet", data=LOT | posted | {"do": "remove"})]
    assert all(answer.status_code < 500 for answer in answers)
    assert any(told in answer.text for answer in answers)
    assert (folder / name).read_text(encoding="utf-8") == text


def test_a_draft_dropped_while_it_is_listed_is_left_out(desk, monkeypatch):
    for token in (TOKEN, "fedcba9876543210"):
        desk.post("/glance", data=LOT | {"token": token})
    stat = Path.stat

    def gone(path, **how):
        if path.name == f"{TOKEN}.json":
            raise FileNotFoundError(path)
        return stat(path, **how)

    monkeypatch.setattr(Path, "stat", gone)
    home = desk.get("/")
    assert home.status_code == 200
    assert home.text.count("draft=") == 1


def test_what_cannot_be_opened_is_listed_with_its_reason(desk, folder):
    (folder / "broken.toml").write_text("[task\n", encoding="utf-8")
    (folder / "lot#1.toml").write_text("[task]\n", encoding="utf-8")
    (folder / "linked.toml").symlink_to(folder / "fleet.toml")
    (folder / "Größe.toml").write_text('title = "Hof"\n[task]\nkind = "sweep"\n', encoding="utf-8")
    home = desk.get("/").text
    assert "broken.toml" in home
    assert "is not valid TOML" in home
    assert "rename it" in home
    assert "is a link to another place" in home
    assert "Hof" in home
    assert desk.get("/job", params={"file": "Größe.toml"}).status_code == 200
    assert "linked.toml" not in desk.get("/job").text


@pytest.mark.skipif(not hasattr(__import__("os"), "mkfifo"), reason="pipes with names are POSIX")
def test_a_pipe_in_the_folder_is_told_and_nothing_waits_for_it(desk, folder):
    import os

    os.mkfifo(folder / "pipe.toml")
    assert "is a pipe or a device" in desk.get("/").text
    for path in ("/job", "/fleet", "/file", "/page"):
        assert desk.get(path, params={"file": "pipe.toml"}).status_code == 400


@pytest.mark.parametrize("host", ["127.0.0.1", "localhost", "127.0.0.1:80"])
def test_on_the_webs_own_port_a_browser_leaves_the_port_out(folder, rules, host):
    at_80 = TestClient(build(folder, rules, 80), base_url="http://127.0.0.1", headers={"origin": f"http://{host}"})
    assert at_80.get("/", headers={"host": host}).status_code == 200
    assert at_80.post("/glance", data=LOT, headers={"host": host}).status_code == 200
    assert TestClient(build(folder, rules, 8137), base_url=HERE).get("/", headers={"host": host}).status_code == 421


def test_a_folder_that_is_gone_is_told_and_not_made_again(desk, folder):
    page = LOT | {"version": "", "file": ""}
    shutil.rmtree(folder)
    answers = [desk.get(path) for path in ("/", "/fleet?file=fleet.toml", "/file?file=muddy-lot.toml", "/job")]
    answers += [desk.post("/glance", data=page), desk.post("/job", data=page | {"do": "save"})]
    for answer in answers:
        assert answer.status_code == 400
        assert "is gone" in answer.text
    assert not folder.exists()


def test_among_several_fleets_somebody_has_to_choose_and_it_is_remembered(desk, folder):
    shutil.copy(EXAMPLES / "candidates.toml", folder)  # machines for sale, first by the alphabet
    page = desk.get("/job").text
    assert '<option value="" selected>choose one</option>' in page
    told = desk.post("/glance", data=LOT | {"fleet": ""}).json()["html"]
    assert "choose which machines" in told
    assert desk.post("/job", data=LOT | {"fleet": "", "do": "save"}).status_code == 422
    assert desk.get("/page", params={"file": "muddy-lot.toml"}).status_code == 400
    desk.post("/job", data=LOT | {"fleet": "fleet.toml", "do": "save"})
    again = desk.get("/job?file=back-lot-pavers.toml").text
    assert '<option value="fleet.toml" selected>' in again
    assert "choose one</option>" not in again.split("</select>")[0]
    assert desk.get("/page", params={"file": "back-lot-pavers.toml"}).status_code == 200
    (folder / "fleet.toml").unlink()
    assert '<option value="candidates.toml" selected>' in desk.get("/job?file=back-lot-pavers.toml").text


def test_a_fleet_that_is_gone_is_asked_for_again(desk, folder):
    shutil.copy(EXAMPLES / "candidates.toml", folder)
    for name in ("yard.toml", "other.toml"):
        shutil.copy(EXAMPLES / "fleet.toml", folder / name)
    desk.post("/glance", data=LOT | {"fleet": "yard.toml"})
    (folder / "yard.toml").unlink()
    for path in (f"/job?draft={TOKEN}", "/job?file=muddy-lot.toml&fleet=yard.toml"):
        assert '<option value="" selected>choose one</option>' in desk.get(path).text


def test_a_refused_change_refused_again_adds_no_machine(desk, folder, rules):
    stale = marked(desk, 0, width="59 in")
    desk.post("/fleet", data=marked(desk, 0, name="Renamed"))
    before = names(folder, rules)
    page = desk.post("/fleet", data=stale).text
    again = stale | {key: field(page, key) for key in ("version", "mark", "machine")}
    assert desk.post("/fleet", data=again).status_code == 422
    assert names(folder, rules) == before


@pytest.mark.skipif(not hasattr(__import__("os"), "mkfifo"), reason="names that are no letters are POSIX")
def test_a_name_that_is_no_letters_and_what_was_kept_badly_leave_the_pages_standing(desk, folder):
    (Path(__import__("os").fsdecode(bytes(folder) + b"/caf\xe9.toml"))).write_text("[task]\n", encoding="utf-8")
    desk.post("/glance", data=LOT)
    kept = folder / ".pickrig-desk"
    (kept / "aaaaaaaaaaaaaaaa.json").write_text("[" * 100_000, encoding="utf-8")
    (kept / "bbbbbbbbbbbbbbbb.json").write_text(
        '{"file": "", "version": "", "fleet": "", "answers": {"title": "\\ud800"}}', encoding="utf-8"
    )
    (kept / "fleets.json").mkdir()
    home = desk.get("/")
    assert home.status_code == 200
    assert "rename it" in home.text
    assert desk.get("/job?draft=bbbbbbbbbbbbbbbb").status_code == 200
    assert desk.post("/job", data=LOT | {"do": "save"}).status_code == 303


def test_what_breaks_inside_is_a_page_of_its_own(folder, rules, monkeypatch):
    calm = TestClient(build(folder, rules, 8137), base_url=HERE, headers=OWN, raise_server_exceptions=False)
    monkeypatch.setattr("pickrig.desk.job_page.glance", lambda *_: 1 / 0)
    answer = calm.post("/glance", data=LOT)
    assert answer.status_code == 500
    assert "went wrong in pickrig itself" in answer.text
    assert "Traceback" not in answer.text


def test_without_its_library_the_command_says_what_to_install(monkeypatch, rules, tmp_path):
    import sys

    from pickrig.desk.serve import serve
    from pickrig.errors import OutputError

    monkeypatch.setitem(sys.modules, "uvicorn", None)
    with pytest.raises(OutputError, match=r"pip install 'pickrig\[desk\]'"):
        serve(tmp_path, rules, 0, "us", "en", print)


def test_the_desk_and_the_page_have_the_same_numbers(rules, fleet, muddy_lot):
    quick, whole = glance(muddy_lot, fleet, rules), pick(muddy_lot, fleet, rules)
    assert [(s.name, s.score) for s in quick.ranking] == [(s.name, s.score) for s in whole.ranking]
    assert english(quick.says) == english(whole.answer)


def test_home_lists_the_places_that_are_remembered(desk, folder):
    (folder / "sites").mkdir()
    (folder / "sites" / "miller-road.toml").write_text('name = "Miller Road"\n', encoding="utf-8")
    (folder / "sites" / "wrong.toml").write_text('name = "Wrong"\nposition = "up north"\n', encoding="utf-8")
    text = desk.get("/").text
    assert "Miller Road" in text
    assert "sites/wrong.toml" in text
    assert "is no position" in text


def test_what_came_of_a_job_is_a_tap_and_a_wrong_tap_is_struck_out(desk, folder):
    here = {"file": "muddy-lot.toml", "fleet": "fleet.toml"}
    page = desk.get("/log", params=here).text
    assert "<option>Wide-track 68</option>" in page  # the pick stands first
    tap = here | {"machine": "Wide-track 68", "day": "2026-04-21", "helped": "none", "do": "too_soft"}
    assert desk.post("/log", data=tap).headers["location"].endswith("said=told")
    hostile = tap | {"do": "bogged", "note": HOSTILE[0], "crew": HOSTILE[0], "hours": "5 h"}
    desk.post("/log", data=hostile)
    page = desk.get("/log", params=here | {"said": "told"}).text
    assert "Not sent: too soft at sight." in page
    assert "Bogged. It took 5 h." in page
    assert "<script>alert" not in page
    told = Log(folder / NAME).entries()
    assert [one.sent for one in told] == ["too soft", "yes"]
    assert "jobs of yours held less" in desk.get("/page", params=here).text
    struck = desk.post("/log", data=here | {"strike": told[1].id[:8]})
    assert struck.headers["location"].endswith("said=struck")
    assert len(Log(folder / NAME).entries()) == 1
    for wrong in (
        {"machine": "Nobody"},
        {"hours": "long"},
        {"day": "soon"},
        {"do": ""},
        {"do": "rutted", "rut": "deep"},
    ):
        assert desk.post("/log", data=tap | wrong).status_code == 400
    assert desk.post("/log", data=here | {"strike": "zz"}).status_code == 400
    assert desk.get("/log", params={"file": "../a.toml"}).status_code == 400
    assert len(Log(folder / NAME).entries()) == 1
    desk.post("/log", data=tap | {"do": "rutted", "rut": "3 in"})
    assert Log(folder / NAME).entries()[-1].rut == pytest.approx(0.0762)


def test_what_was_read_off_a_machine_is_written_down(desk, folder):
    told = {"file": "muddy-lot.toml", "fleet": "fleet.toml", "do": "reading", "machine": "Wide-track 68"}
    told |= {"meter": "1210 h", "depth": "0.9 in", "sprocket": "hooked", "day": "2026-04-21"}
    assert desk.post("/log", data=told).status_code == 303
    (kept,) = Log(folder / NAME).readings()
    assert (kept.meter, kept.sprocket, kept.day) == (1210, "hooked", "2026-04-21")
    assert "Sprocket: hooked." in desk.get("/log", params={"file": "muddy-lot.toml", "fleet": "fleet.toml"}).text
    for wrong in ({"meter": "far"}, {"depth": "2 ft"}, {"sprocket": "odd"}, {"machine": "Nobody"}):
        assert desk.post("/log", data=told | wrong).status_code == 400
    assert len(Log(folder / NAME).readings()) == 1


def test_a_log_that_is_a_link_is_not_followed(desk, folder, tmp_path_factory):
    elsewhere = tmp_path_factory.mktemp("elsewhere") / "other.sqlite"
    (folder / NAME).symlink_to(elsewhere)
    tap = {"file": "muddy-lot.toml", "fleet": "fleet.toml", "machine": "Wide-track 68", "do": "held"}
    assert desk.post("/log", data=tap).status_code == 400
    assert not elsewhere.exists()
