"""Reference solution of the graded sheet retrofit-3: the keys of practice, and those of the lines that only it has."""

from coldcab.assess.forms.retrofit_3 import FORM
from coldcab.assess.practice.retrofit_3 import KEYS

from coldcab.assess import ideas_conversion as ideas

ASSIGNMENT = FORM.with_keys(
    KEYS
    | {
        "low side against R-12": ideas.low_side(),
        "margin to the cut-out": ideas.margin(),
        "high-pressure cut-out": ideas.cutout(),
        "missing on the label": ideas.label(),
    }
)
