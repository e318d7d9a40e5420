"""The learner's desk: what is done and open, what to mend and to repeat, what one can do, and handing in.

`record`    what was answered, kept in the learner's copy
`state`     from the record and the sheets in the folder: where a learner stands
`page`      the desk as HTML, alive and as a stored picture of itself; `look` its small words
`repeat`    a practice line of an earlier lesson, asked again
`can_do`    the course's outcomes (`outcomes.csv`) beside what was shown
`widget`    the desk in a notebook; `cover` the picture on the first page
`hand_in`   the named copy of a graded sheet

Everything stays in the learner's folder.
"""

from coldcab.desk.record import marked, opened

__all__ = ["marked", "opened"]
