"""Reference solution of the graded sheet faults-4: what the machines of the clinic have, from the table beside it."""

from pathlib import Path

from coldcab.assess.forms.faults_4 import FORM

from coldcab.assess import ideas_clinic
from coldcab.scenario.clinic import read_causes

CAUSES = read_causes(Path(__file__).with_name("clinic_causes.csv").read_text(encoding="utf-8"))

ASSIGNMENT = FORM.with_keys(
    {
        "machine 1, high side": ideas_clinic.high_side(0),
        "machine 2, high side": ideas_clinic.high_side(1),
        **ideas_clinic.keys(0, CAUSES),
        **ideas_clinic.keys(1, CAUSES),
        **ideas_clinic.keys(2, CAUSES),
    }
)
