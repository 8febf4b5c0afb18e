"""What goes in and what comes out: frozen pydantic models, no I/O and no arithmetic.

`rows.py` holds one class for each table of `data/`; `answer.py` what every result has; each
question has a file of its own with its request and its result.
"""
