"""SI first: every text of a sheet, written in trade units, reads in metric units with the trade's in brackets."""

import re
from html import unescape

import pytest

from coldcab import instruments, job, learner, units
from coldcab.answering import feedback_card, numbers_card, sheet_lines
from coldcab.assess import read_answer
from coldcab.classroom import sheets
from coldcab.course import folder
from coldcab.course.order import line_in_order, page_lines
from coldcab.desk.hand_in import Filled, unreadable
from coldcab.desk.page import mistakes
from coldcab.desk.state import Mistake, Place
from coldcab.instruments.controls import Switch
from coldcab.instruments.how_true import GAUGES, doubt_table, left_out, lines
from coldcab.instruments.how_true import table as table_of
from coldcab.instruments.panel import Panel
from coldcab.job import page, paper
from coldcab.job.form import JobForm
from coldcab.lessons import FORMS
from coldcab.placement import PlacementCheck
from coldcab.units import in_order
from drawings import make
from made_up_class import class_of
from material import GRADED, PRACTICED


@pytest.mark.parametrize(
    ("text", "turned"),
    [
        ("head up 40 psi at 95 F (35 C)", "head up 276 kPa (40 psi) at 35 C (95 F)"),
        ("evaporating 30 F, superheat 33 F; vent 8 F colder", "evaporating -1.1 C (30 F), superheat 18.3 K (33 F); "
         "vent 4.4 K (8 F) colder"),
        ("its R-12 sheet says 190 F", "its R-12 sheet says 87.8 C (190 F)"),
        ("gap 0.050 in, 0.016 to 0.031 in", "gap 1.27 mm (0.050 in), 0.406 to 0.787 mm (0.016 to 0.031 in)"),
        ("300, 320, then 320 micron", "40.0, 42.7, then 42.7 Pa (300, 320, then 320 micron)"),
        ("24.8 inHg vacuum at 5,000 ft", "84.0 kPa vacuum (24.8 inHg vacuum) at 1,524 m (5,000 ft)"),
        ("books 8.6 ± 0.8 fl oz", "books 254 ± 23.7 mL (8.6 ± 0.8 fl oz)"),
        ("a box of 12 oz cans", "a box of 340 g (12 oz) cans"),
        ("hose 3/8 in bore, 1 1/2 in", "hose 9.52 mm (3/8 in) bore, 38.1 mm (1 1/2 in)"),
        ("2 lb 4 oz; −0.3 fl oz, +1.1 fl oz", "1.02 kg (2 lb 4 oz); −8.87 mL (−0.3 fl oz), +32.5 mL (+1.1 fl oz)"),
        ("12 lbf (53 N)", "53 N (12 lbf)"),
        ("281 mL (9.5 fl oz), 0 psig", "281 mL (9.5 fl oz), 0 kPa gauge (0 psig)"),
        ("290 · 3,260 · 400 micron", "38.7 · 435 · 53.3 Pa (290 · 3,260 · 400 micron)"),
        ("R-12 in the cylinder, two in three, gauge in psig", "R-12 in the cylinder, two in three, gauge in psig"),
    ],
)  # fmt: skip
def test_the_metric_quantity_comes_first(text, turned):
    assert in_order(text, "si") == turned
    assert in_order(turned, "si") == turned, "what is turned stays turned"
    assert in_order(text, "us") == text


# Written anew, so that it finds what `in_order` does not know: a number before a unit of the trade, not in brackets.
TRADE = re.compile(
    r"(?<![\w-])[\d.,/½¼¾]*\d\s?-?(?:psi\w?|°?F|fl\.? oz|oz|ounces?|lbs?|pounds?|inHg|in|inch(?:es)?|ft|feet|cfm"
    r"|Btu|gal\w*|quarts?|micron|grains/lb)\b(?!\w)"
)
PAIR = re.compile(r"(?P<metric>[-−+]?[\d.,]+ [A-Za-z][\w/]*(?: gauge| absolute)?) \((?P<trade>[-−+]?[\d.,]+ [^() ]+)\)")


def trade_alone(text):
    """Quantities that stand in trade units outside brackets."""
    return TRADE.findall(re.sub(r"\([^()]*\)", "()", text))


METRIC = re.compile(r"(?<![\w(.,])[\d.,]*\d (?:kPa|C|K|kg|g|mL|L|m3/h|kW|Pa)\b(?!/| ?\()")


def metric_alone(text):
    """Quantities that stand in metric units outside brackets."""
    return METRIC.findall(re.sub(r"\([^()]*\)", "()", text))


def texts(sheet):
    """All that a sheet says: its lines' words, its feedback, and what a dozen learners are shown."""
    for item in sheet.items:
        yield from (item.prompt, item.example, item.hint, *item.choices)
        for typed in ("plenty", "12 psi", "120 kPa", "4 F"):
            reading = read_answer(item, typed)
            yield reading.problem or reading.question
        yield from (words for idea in item.ideas for words in (idea.name, idea.feedback))
    for one in class_of(sheet).people(12):
        for label, text in one.case.lines():
            yield text
            # The letter of an offer, "1 F", is no temperature.
            yield "" if label.lstrip()[:1].isdigit() else label


def last_digit(text, kind):
    """SI size of one step in the last digit of a number as it is shown; of a fraction a thirtieth of it."""
    number, unit = text.split(" ", 1)
    decimals = len(number.partition(".")[2])
    if "/" in number:
        number, more = "1", "1.03"
    else:
        more = f"{float(number.replace(',', '')) + 10**-decimals:.{decimals}f}"
    return abs(units.parse(f"{more} {unit}", kind).value - units.parse(f"{number} {unit}", kind).value)


def same(metric, trade):
    """Whether both say the same, as far as the digits shown go, whatever kind they are of."""
    metric, trade = metric.replace("−", "-"), trade.replace("−", "-")
    if trade.endswith("lbf"):
        return abs(float(metric.split()[0].replace(",", "")) / float(trade.split()[0]) / 4.448 - 1) < 0.03
    for kind in units.KINDS:
        try:
            one, other = units.parse(metric, kind).value, units.parse(trade, kind).value
            if abs(one - other) <= 0.51 * (last_digit(metric, kind) + last_digit(trade, kind)):
                return True
        except units.UnitError:
            continue
    return False


METRIC_BY_CUSTOM = ("smallest leak seen", "time for one bubble", "wait for the dye", "days until short",
                    "CO2 equivalent of the leaks", "leak the air pretends", "water held up in the drain")  # fmt: skip
"""Lines whose trade counts in g and Pa itself: leaks and dye by the year, warming, a fan's pressure."""
KILOGRAM_A_LITER = re.compile(r"\b(?:kg/L|g/mL|g/L)\b")
UNIT_OF_A_ROW = re.compile(r"\b(?:psi[ga]?|micron|inHg|oz|lb|F|cfm|grains/lb)\b")


@pytest.mark.parametrize("sheet", [*GRADED.values(), *PRACTICED.values()], ids=lambda sheet: sheet.name)
def test_no_line_of_a_sheet_mixes_systems(sheet):
    """In trade units a line asks and hints in them; in SI no row of bare numbers is in a unit of the trade."""
    for item in sheet.items:
        for text in (item.prompt, item.hint, item.example):
            assert item.label in METRIC_BY_CUSTOM or not metric_alone(text), f"{item.label}: {text}"
            assert not KILOGRAM_A_LITER.search(re.sub(r"\([^()]*\)", "", text)), f"{item.label}: {text}"
    for label, text in class_of(sheet).people(1)[0].case.lines():
        named = UNIT_OF_A_ROW.search(re.sub(r"\([^()]*\)", "", in_order(label, "si")))
        assert not (named and re.fullmatch(r"[\d.,· +−-]+", text)), f"{label}: {text}"


@pytest.mark.parametrize("sheet", [*GRADED.values(), *PRACTICED.values()], ids=lambda sheet: sheet.name)
def test_no_text_of_a_sheet_is_in_trade_units_alone(sheet):
    for text in texts(sheet):
        turned = in_order(text, "si")
        assert not trade_alone(turned), turned
        for pair in PAIR.finditer(turned):
            assert same(pair["metric"], pair["trade"]), pair[0]


@pytest.fixture
def si_first(tmp_path, monkeypatch):
    """The learner at the desk wants SI first."""
    learner.write(learner.Learner("ash", units="si"), tmp_path)
    monkeypatch.setenv(learner.FOLDER_VARIABLE, str(tmp_path))


def test_the_desk_shows_sheet_feedback_and_example_in_si(si_first):
    sheet = GRADED["retrofit-1"]
    case = sheet.case("open", "ash")
    card = numbers_card("A sheet", case.lines())
    feedback = feedback_card([("wrong", "mass", "2.6 lb = 1.18 kg", "It stands 4 lb too high.")], (), "One line.")
    assert not trade_alone(card.text)
    assert "It stands 1.81 kg (4 lb) too high." in feedback.text
    assert "2.6 lb = 1.18 kg" in feedback.text, "how an answer was read stays as it was read"
    (row,) = sheet_lines(sheet, case, "%%answers\nallowed net mass: ")
    assert "25 C (77 F)" in row["prompt"]


def test_the_learners_desk_and_handing_in_speak_in_si(si_first):
    place = Place("cycle-4", "Worked example: a combine at 5,000 ft")
    one = Mistake("retrofit-1", "allowed net mass", "131 F for all", "It stands 4 lb too high.", "", place)
    shown = mistakes((one,))
    assert "55.0 C (131 F) for all" in shown
    assert "It stands 1.81 kg (4 lb) too high." in shown
    assert "#Worked-example:-a-combine-at-1,524-m-(5,000-ft)" in shown, "as the page names its heading then"
    for form in (FORMS["cycle-1"], FORMS["retrofit-1"], FORMS["oil-2"]):
        filled = Filled(form, {item.label: "plenty" for item in form.items}, written=True)
        unread = unreadable(filled, learner.read())
        assert len(unread) == len(form.items)
        assert not any(trade_alone(text.partition(":")[2]) for text in unread)


@pytest.mark.parametrize("sheet", GRADED.values(), ids=lambda sheet: sheet.name)
def test_a_form_shows_an_example_in_both(sheet):
    """Static text serves both orders: behind each trade example stands the metric one, and it reads as the same."""
    for item in sheet.items:
        assert not any(trade_alone(choice) for choice in item.choices), "a choice is written as it stands"
        shown = re.findall(r"`([^`]+)`", sheets.how_written(item))
        if trade_alone(item.example):
            one, other = (read_answer(item, example).value for example in shown)
            assert other == pytest.approx(one, rel=0.01)


def without_typed(line):
    """A line of a page without the ways in which an example can be typed, and without the targets of its links."""
    return re.sub(r"`[^`]*`|\]\([^)]*\)", "", line)


NUMBER = re.compile(r"\d[\d,./]*")


def words(text):
    """Its words but those of units."""
    return set(re.findall(r"[A-Za-z]{4,}", text)) - {"gauge", "absolute", "vacuum"}


NO_INCHES = re.compile(r"\d in (?:\d|the )|Unit \d+ ounce by ounce")
OF_TABLES = ("acceptance_table", "pressure_temperature_table", "how_true")
"""Members that are no single instrument; their tables are walked by themselves."""
BY_DEGREE = re.compile(r"\([\d.]+ Btu/\(lb F\)\)|[\d.]+ Btu/\(lb F\)")
COURSE = folder()
LINES = sorted(set(page_lines()))


def test_pages_are_written_in_trade_units_first():
    for file, line in LINES:
        for pair in PAIR.finditer(without_typed(line)):
            assert not TRADE.match(pair["trade"]) or TRADE.match(pair["metric"]), f"{file.name}: {line}"


def test_pages_read_in_si():
    """Metric first everywhere, the trade's beside it, both the same, and no other number or word has changed."""
    pairs = 0
    for file, line in LINES:
        turned = without_typed(line_in_order(line, "si"))
        assert line_in_order(line, "us") == line
        assert NO_INCHES.search(turned) or not trade_alone(turned), f"{file.name}: {turned}"
        for pair in PAIR.finditer(turned):
            pairs += bool(TRADE.match(pair["trade"]))
            assert same(pair["metric"], pair["trade"]), f"{file.name}: {pair[0]}"
        assert words(turned) == words(without_typed(line)), turned
        assert set(NUMBER.findall(without_typed(line))) <= set(NUMBER.findall(turned)), turned
    assert pairs > 150


def strings(held):
    """All words in what a template is given."""
    if isinstance(held, str):
        yield held
    for one in held.values() if isinstance(held, dict) else held if isinstance(held, list) else ():
        yield from strings(one)


READ = ("fast_idle_low_side=12 psig", "fast_idle_high_side=120 psig", "fast_idle_vent=65 F")


def test_a_job_reads_in_the_order_of_its_shop():
    """Page, bay card and sheet, with readings: every text; on the card one system stands alone."""
    changes = [f"{when}.{reading}" for when in ("found", "as_left") for reading in READ]
    made = job.plan(job.with_changes(job.read_job(COURSE / "refresher" / "jobs" / "high-yard.toml"), changes))
    for system, alone in (("si", trade_alone), ("us", metric_alone)):
        shown = re.sub(r"<(script|style).*?</\1>|<[^>]+>", "\n", page.html(made, system), flags=re.DOTALL)
        held = paper.contents(made, system)
        for text in (*map(unescape, shown.splitlines()), *strings(held)):
            assert made.title in text or not alone(text), text
            for pair in PAIR.finditer(text):
                gauge = pair["metric"] + " gauge" * (pair["metric"].endswith("kPa") and pair["trade"].endswith("psig"))
                assert same(gauge, pair["trade"]) or not TRADE.match(pair["trade"]) or "some" in text, text


def test_a_job_asks_in_the_units_of_its_shop():
    """Examples, the file's comments, and what cannot be read; what somebody answered stays as it was."""
    for question in job.QUESTIONS.values():
        assert not trade_alone(question.example_in("si"))
        assert question.example_in("us") == question.example
        if question.kind in units.KINDS:
            assert units.parse(question.example_in("si"), question.kind).value == pytest.approx(
                units.parse(question.example, question.kind).value, rel=0.02
            )
    told = job.as_toml(job.job_of({"machine": {"charge": "2 lb"}}), every=True, system="si")
    assert 'charge = "2 lb"' in told
    assert "35.0 C" in told
    form = JobForm(system="si")
    assert "1.02 kg (2 lb 4 oz)" in form.answer("machine.charge", "plenty")


def test_a_typed_example_offers_the_metric_one_first():
    assert line_in_order("for example `3.5 fl oz` or `104 mL`", "si") == "for example `104 mL` or `3.5 fl oz`"
    assert (
        line_in_order("for example `29.5 psia`, no less", "si")
        == "for example `203 kPa absolute` or `29.5 psia`, no less"
    )
    assert line_in_order("Write one of: `high` or `low`.", "si") == "Write one of: `high` or `low`."


def test_the_walk_sees():
    assert trade_alone("open it at 70 psig, a 12 oz can, 1/2 in") != []
    assert trade_alone("open it at 483 kPa gauge (70 psig)") == []
    assert not same("35 C", "90 F")
    assert not same("83 kPa", "12 psig")


def drawn_texts(instrument):
    """What stands on an instrument's drawing and below it, piece by piece."""
    shown = re.sub(r"<style.*?</style>|<desc>.*?</desc>|<[^>]+>", "\n", instrument.html(), flags=re.DOTALL)
    return [text for text in map(str.strip, map(unescape, shown.splitlines())) if text]


@pytest.mark.parametrize("name", [name for name in instruments._MEMBERS if name not in OF_TABLES])
def test_an_instrument_is_drawn_in_si(name):
    """Its switches off and on. Where a trade unit stands in a place of its own, the metric one has another."""
    one = make(name, system="si")
    switches = {control.name: not one.settings[control.name] for control in one.controls if isinstance(control, Switch)}
    for settings in ({}, switches) if switches else ({},):
        one.set(**settings)
        assert not trade_alone(BY_DEGREE.sub("", one.description()))
        texts = drawn_texts(one)
        for text in filter(trade_alone, texts):
            assert BY_DEGREE.search(text) or any(same(beside, text) for beside in texts), f"{name}: {text}"


def test_a_deep_vacuum_is_drawn_in_pa():
    assert "Pressure in the machine, Pa" in drawn_texts(make("pump_down", system="si"))
    assert "Pressure in the machine, micron" in drawn_texts(make("pump_down"))
    assert "Vacuum gauge in Pa, pump shut off" in drawn_texts(make("rise_test", system="si"))


@pytest.mark.parametrize(
    ("name", "control", "shown"),
    [("pump_down", "hose", "4.76 mm (3/16 in) bore, 1.83 m (6 ft)"), ("suspects_board", "day", "29 C (85 F)")],
)
def test_a_choice_is_shown_in_si_and_kept_as_it_was(name, control, shown):
    """What is kept stands in one order only: an old setting is read in either."""
    trade, metric = make(name), make(name, system="si")
    (named,) = [one for one in metric.controls if one.name == control]
    options = dict(Panel(metric)._named(named))
    assert shown in options
    assert tuple(options.values()) == trade.offered(named)
    assert metric.set(**{control: options[shown]}).settings[control] == options[shown]


def test_tables_of_printed_figures_read_in_si():
    accepted = instruments.acceptance_table(system="si")
    for table in (left_out(), table_of(lines(GAUGES), "gauges"), doubt_table(), accepted):
        assert table.in_order("us") == table
        for row in table.in_order("si").rows:
            assert not any(trade_alone(cell) for cell in row), row


def test_what_an_instrument_says_in_its_line_is_in_si():
    for name in ("pump_down", "rise_test", "identifier"):
        assert not trade_alone(make(name, system="si").reading_line())


def test_the_placement_check_asks_in_si(si_first):
    asked = PlacementCheck().widget.children[:-2]
    for question in asked:
        for text in re.split("<[^>]+>", question.children[0].value):
            assert text.strip()[:2] == "1 " or not trade_alone(text), "the letter of an offer, 1 F, is no temperature"
