"""A shop's own lists of rings, in the shop's own database.

    place    where it lies: an option, an environment variable, the platform's data folder
    tables   the two tables as SQLAlchemy Core knows them; only `schema/stock` makes them
    write    a list put in, replaced or taken out, whole or not at all
    held     opened for reading: a consistent look at the lists while a question is answered

What is read for a search is in `store.query.stock`.
"""
