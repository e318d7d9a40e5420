"""The running job: one machine from the complaint to the owner's copy, and what each choice leads to.

`facts` holds a job, its state and what the machine does with it; `opening`, `middle`, `repair` and `closing` the ways
to do each step; `steps` their order; `record` the way through, the record and the owner's copy.
"""
