"""What goes in and what comes out: frozen pydantic models, no I/O and no arithmetic.

`rows` holds one class for each table of `data/`, by subject; `answer.py` what every result has;
each question has a file of its own with its request and its result.
"""
