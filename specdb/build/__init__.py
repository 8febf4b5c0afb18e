"""The curator's side: reading the tables of `data/`, checking them, building the database.

    read      CSV files -> row models, every bad cell collected
    expand    converted columns; the computed tables of each release
    check     rules across rows
    digest    what a release's rows add up to
    build     the database file, whole or not at all

Opening a database imports none of it.
"""
