"""The questions: one module each, `registry.py` declares them once for every face.

An answer function takes `(reader, request)` and returns its result record. It reads rows through
`specdb.store`, computes with `specdb.physics`, and ends in `evidence.conclude`, which looks up
every row the figures name.
"""
