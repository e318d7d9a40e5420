"""Reference solution of the graded sheet retrofit-4: the keys of practice, and those of the lines that only it has."""

from coldcab.assess.forms.retrofit_4 import FORM
from coldcab.assess.practice.retrofit_4 import KEYS

from coldcab.assess import ideas_charging

ASSIGNMENT = FORM.with_keys(
    KEYS
    | {
        "reserve before bubbles": ideas_charging.reserve(),
        "next step": ideas_charging.decision(),
        "valve open while running": ideas_charging.open_valve(),
    }
)
