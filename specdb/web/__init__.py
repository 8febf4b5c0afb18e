"""The web view and the JSON API: a Datasette plugin, printed from the registry.

plugin      the hooks, thin; silent where no specdb database is attached
app         a whole server for `specdb serve`
held        what a running server answers from, and the tag of an answer
asked       an address -> the arguments of a question
routes      every address and its view
pages       the pages: home, a question, a material, a source, search, the API's own
forms       a question's form, from its request record
shown       an answer as blocks for the templates; `blocks` are what a page is made of
folding     which blocks stand open: one short screen first
head_view   a head on one screen, a row a seat
columns     the columns of a head's table, with an example
pictures/   curves, ranges, grip and clearance as SVG
api         the JSON API; `openapi` describes it, `problems` are its errors
guard       headers of every response, and the limit of a body
labels      titles, descriptions and links for the browsing of tables
as_csv      a table, or the rows of SQL, as a CSV file; SQL that fails is told
sql         functions for people who work in SQL
"""
