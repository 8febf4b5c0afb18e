"""Reading: plain SQL statements with `:name` parameters, a module a topic."""
