"""All SQL and all paths: where the database lies, its tables, how it is read and written."""
