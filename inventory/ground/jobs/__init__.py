"""Long work that survives: the row is the job, and whatever carries it may be lost.

`model` the rows · `kinds` what there is to do and what one step of it is · `asking` asking for a
job, cancelling, resuming, running it again · `claims` who may work on it just now · `running` one
job, chunk by chunk · `wake` getting a worker to look · `sweep` and `schedule` what is due, and what
the clock asks for · `loop` one process that works off what is due, where there is no broker.
"""
