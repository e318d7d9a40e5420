"""Reference solution of the graded sheet retrofit-1: the keys of practice, and those of the lines that only it has."""

from coldcab.assess.forms.retrofit_1 import FORM
from coldcab.assess.practice.retrofit_1 import KEYS

from coldcab.assess import ideas_recovery as ideas

ASSIGNMENT = FORM.with_keys(
    KEYS
    | {
        "stop mark": ideas.stop_mark(),
        "liquid-full temperature": ideas.liquid_full(),
        "case 3": ideas.law_case(3),
        "case 4": ideas.law_case(4),
    }
)
