"""The shop's memory, and the questions of ``coldcab plan --new``."""

import csv
import io
import json
import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from coldcab import job
from coldcab.cli import app, planning
from coldcab.job import JobError, shop
from coldcab.job.form import JobForm
from coldcab.job.questions import QUESTIONS

JOBS = Path(__file__).parents[1] / "course" / "refresher" / "jobs"
EXAMPLES = sorted(JOBS.glob("*.toml"))


def write(folder, name, **entries):
    one = job.Job()
    for key, text in entries.items():
        one = one.having(key.replace("__", "."), text)
    (folder / name).write_text(job.as_toml(one), encoding="utf-8")
    return one


@pytest.fixture
def folder(tmp_path):
    write(tmp_path, "b.toml", job__date="2026-07-14", job__name="Unit 12, seal", machine__name="Unit 12",
          machine__charge="2 lb", machine__oil="7 fl oz", machine__oil_type="mineral", work__refrigerant="R-134a",
          work__new_oil="PAG", work__replaced="compressor, receiver-drier", work__complaint="lost its charge",
          as_left__idle_low_side="30 psig", weather__ambient="95 F", job__technician="A. Example")  # fmt: skip
    write(tmp_path, "a.toml", job__date="2025-06-01", machine__name="unit  12", machine__charge="2 lb 2 oz")
    write(tmp_path, "c.toml", job__date="2026-08-01", machine__name="Unit 7", job__name="=1+1")
    (tmp_path / "broken.toml").write_text("[machine\n", encoding="utf-8")
    return tmp_path


def test_jobs_stand_in_order_and_a_broken_one_says_why(folder):
    jobs = shop.entries(folder)
    assert [one.file.name for one in jobs if one.date] == ["a.toml", "b.toml", "c.toml"]
    (broken,) = [one for one in jobs if one.problem]
    assert "broken.toml" in broken.problem


def test_the_next_job_knows_what_the_last_one_left(folder):
    last = shop.last_job(shop.entries(folder), "UNIT 12")
    assert last.file.name == "b.toml"
    after = shop.next_job(last.job)
    assert after["machine.charge"] == pytest.approx(0.9072, abs=1e-3)
    assert after["work.inside"] == "R-134a"
    assert after["machine.oil_type"] == "PAG"
    assert after["job.technician"] == "A. Example"
    for key in ("weather.ambient", "work.replaced", "as_left.idle_low_side", "job.date"):
        assert not after.known(key)
    assert "replaced compressor, receiver-drier" in shop.last_time(last)
    assert "30 psig" in shop.last_time(last)


def test_a_machine_without_an_earlier_job_has_none(folder):
    assert shop.last_job(shop.entries(folder), "Unit 99") is None
    assert shop.last_job(shop.entries(folder), "") is None


def test_the_list_is_a_table_and_a_csv(folder):
    said = CliRunner().invoke(app, ["plan", str(folder)])
    assert said.exit_code == 0, said.output
    rows = list(csv.DictReader(io.StringIO((folder / "jobs.csv").read_text(encoding="utf-8"))))
    assert len(rows) == 4
    assert {row["machine"] for row in rows} == {"", "Unit 12", "unit  12", "Unit 7"}
    assert [row["job"] for row in rows if row["machine"] == "Unit 7"] == ["'=1+1"], "nothing acts in a spreadsheet"


def test_no_folder_is_one_sentence(tmp_path):
    with pytest.raises(JobError, match="There is no folder"):
        shop.entries(tmp_path / "nowhere")


def answering(answers):
    """Answers by a part of the question; everything else is left open."""
    asked = []

    def ask(question):
        asked.append(question)
        return next((answer for part, answer in answers.items() if part in question), "")

    return ask, asked


def test_the_questions_are_filled_from_the_last_job_of_the_machine(folder, capsys):
    ask, asked = answering({"Which machine is it": "unit 12"})
    one = planning.asked(ask, "us", folder)
    assert one["machine.charge"] == pytest.approx(0.9072, abs=1e-3)
    assert "Last time, 2026-07-14: lost its charge" in capsys.readouterr().out
    assert not any("Charge on its data sheet" in question for question in asked)


@pytest.mark.parametrize(
    ("system", "key", "answer", "wanted"),
    [
        ("us", "found.fast_idle_low_side", "36", "36 psig"),
        ("si", "found.fast_idle_low_side", "250", "250 kPa gauge"),
        ("us", "weather.ambient", "95", "95 F"),
        ("si", "weather.ambient", "35", "35 C"),
        ("us", "machine.charge", "36", "36 oz"),
        ("si", "machine.charge", "1020", "1020 g"),
        ("us", "machine.oil", "7", "7 fl oz"),
        ("si", "machine.oil", "207", "207 mL"),
        ("us", "machine.displacement", "6.6", "6.6 cu in"),
        ("us", "weather.humidity", "40", "40 %"),
    ],
)
def test_a_bare_number_has_the_unit_of_the_shop(system, key, answer, wanted):
    question = QUESTIONS[key]
    ask, _ = answering({question.words: answer, "complaint": "lost its charge"})
    assert planning.asked(ask, system)[key] == pytest.approx(job.Job().having(key, wanted)[key])


def test_a_reading_that_few_jobs_have_is_told_by_its_name(capsys):
    """What a plan proposes to measure next is no question of everybody's."""
    names = iter(["bulb", "bulb warmed"])
    ask, _ = answering({"low side, fast idle": "30", "fast idle: low side": "30", "bulb warmed in the hand": "8"})
    one = planning.asked(lambda words: next(names, "") if words == planning.MORE_READ else ask(words), "us")
    assert one["found.bulb_warmed"] == pytest.approx(8 * 6894.757, rel=1e-6)
    assert "bulb_warmed" in capsys.readouterr().out


def test_the_questions_are_few_and_errors_speak_no_key(capsys):
    ask, asked = answering({})
    planning.asked(ask)
    assert len(asked) <= 32
    answers = iter(["hot", "95"])
    planning.asked(lambda question: next(answers, "") if "Air temperature" in question else "")
    said = capsys.readouterr().out
    assert "weather.ambient" not in said
    assert re.search(r"(?m)^Hot", said) or "hot" in said


def test_what_cannot_matter_is_not_asked():
    ask, asked = answering({"built for": "R-134a", "complaint": "not cold"})
    planning.asked(ask)
    said = " ".join(asked)
    for words in ("Which hoses", "new compressor brought", "Recovery cylinder", "Price"):
        assert words not in said


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_example_gives_the_same_figures_from_file_form_and_json(path, tmp_path, capsys):
    planning.run(path, new=False, changes=[], as_json=True, units="us")
    told = json.loads(capsys.readouterr().out)
    form = JobForm(path, system="us", folder=tmp_path)
    form.work_out()
    by_form = json.loads(json.dumps(form.made.as_data()))
    assert told["sections"] == by_form["sections"]
    assert told["bands"] == by_form["bands"]
    assert told["as_found"] == by_form["as_found"]
    assert len(EXAMPLES) >= 10
