"""Reference solution of the graded sheet faults-1: the keys of practice, and those of the lines that only it has."""

from coldcab.assess.forms.faults_1 import FORM
from coldcab.assess.practice.faults_1 import KEYS

from coldcab.assess import ideas_clutch

ASSIGNMENT = FORM.with_keys(
    KEYS
    | {
        "current cold": ideas_clutch.current_cold(),
        "what to replace": ideas_clutch.what_to_replace(),
        "heat of slipping": ideas_clutch.heat_of_slipping(),
        "wire across repairs": ideas_clutch.wire_across(),
    }
)
