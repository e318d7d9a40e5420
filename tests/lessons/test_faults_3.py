"""Numbers in the sentences of lesson faults-3."""

from functools import lru_cache

from coldcab import instruments
from coldcab.faults import catalogue, measurements
from coldcab.lessons.faults_3.evidence import TABLES
from coldcab.lessons.faults_3.numbers import JOBS, QUICK, RATES
from coldcab.scenario import complaints


@lru_cache(maxsize=8)
def _board(page, path, advise=False):
    return instruments.suspects_board(system="us", complaint=page, measure=path, advise=advise).readings


def _ranked(page, path):
    return sorted(_board(page, path)["probabilities"].items(), key=lambda pair: -pair[1])


def _offered(name):
    return next(one for one in _board("38", "gauges", True)["advice"] if one.measurement.name == name)


def _drier_first():
    advice = _board("38", "gauges", True)["advice"]
    return advice[0].measurement.name == "glass" and _offered("drier").bits > advice[0].bits > 0.3


SAID = [
    ("An optical meter takes four minutes", lambda: measurements["hub speed"].minutes == 4),
    (
        "Two suspects are about equally probable: a **worn compressor** and a **slipping clutch or belt**",
        lambda: (
            {name for name, _ in _ranked("34", "gauges")[:2]} == {"worn compressor", "clutch or belt slipping"}
            and _ranked("34", "gauges")[0][1] < 1.3 * _ranked("34", "gauges")[1][1]
            and _ranked("34", "gauges")[1][1] > 0.3
        ),
    ),
    (
        "four minutes have taken the clutch off the list",
        lambda: _board("34", "gauges, hub speed")["probabilities"]["clutch or belt slipping"] < 0.01,
    ),
    (
        "look what is left beside it: a few switches and the valve",
        lambda: (
            _ranked("34", "gauges, hub speed")[0] > ("worn compressor", 0.6)
            and {name for name, _ in _ranked("34", "gauges, hub speed")[1:4]}
            == {"thermostat opens early", "valve stuck open", "low-pressure switch opens early"}
        ),
    ),
    (
        "in this book it is three times as usual as a slow fan",
        lambda: catalogue["condenser blocked"].base_rate == 3 * catalogue["condenser fan slow"].base_rate,
    ),
    (
        "The fan's own speed is of another kind. It decides",
        lambda: _ranked("14", "gauges, condenser air, fan")[0][1] > 0.9,
    ),
    (
        "A restricted drier shows this reading twice as often as a low charge",
        lambda: TABLES[0].shares(0)[1] == 2 * TABLES[0].shares(0)[0],
    ),
    ("the shop sees it more than three times as often", lambda: RATES[0][0] > 3 * RATES[0][1]),
    ("The board offers the glass first: one minute", lambda: _drier_first() and measurements["glass"].minutes == 1),
    (
        "The standing pressure costs an hour and tells nothing here",
        lambda: _offered("standing pressure").minutes == 60 and _offered("standing pressure").bits < 0.1,
    ),
    (
        "A drier at 80 %, a job of 150 minutes: 30 minutes wasted on average. The test takes 4",
        lambda: abs((1 - 0.8) * JOBS[0].minutes - 30) < 1e-9 and JOBS[0].test_minutes == 4,
    ),
    (
        "A cab filter at 90 %, a job of 6 minutes: less than one minute wasted",
        lambda: QUICK[1].minutes == 6 and (1 - 0.9) * QUICK[1].minutes < 1 < QUICK[1].test_minutes,
    ),
    (
        "The most probable suspect was not the guilty one. Two minutes at the vent would have shown it",
        lambda: (
            _ranked("30", "gauges")[0][0] != complaints.hidden(30).name
            and measurements["vent"].minutes == 2
            and _board("30", "gauges, vent")["probabilities"][_ranked("30", "gauges")[0][0]] < 0.05
        ),
    ),
]
