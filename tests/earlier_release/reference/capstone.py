"""Reference solution of the capstone: the keys of practice, and those of the lines that only it has."""

from coldcab.assess.forms.capstone import FORM
from coldcab.assess.practice.capstone import KEYS

from coldcab.assess import ideas_rebuild as rebuild

ASSIGNMENT = FORM.with_keys(
    KEYS
    | {
        "condenser": rebuild.condenser(),
        "CO2 equivalent of the leak": rebuild.carbon(),
        "vacuum to boil water": rebuild.vacuum_to_boil(),
        "cans to open": rebuild.cans_to_open(),
        "missing on the label": rebuild.missing_on_label(),
    }
)
