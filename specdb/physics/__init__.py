"""Arithmetic that knows nothing of where its numbers come from: floats or arrays in and out.

    kinds     a float or an array of them: what every function takes
    lame      the thick-ring formulas
    rings     two rings pressed together
    pocket    what the pocket does to them; pocket_table holds the figures
    bridge    what thin metal on one side does; bridge_table holds the figures
    grid      straight-line interpolation in such tables
    curves    a material's properties over temperature
    band      how far a mean expansion may be off
    heat      the clocks of a chilled ring and of soaking parts
    air       the air round a cold ring
    geometry  rings, counterbores, settings, rounding for people
    removal   the wall left of an old ring that is bored out
    seat_faces  the cones of a seat, where they cross, what a feed does
    deck      what a skim takes of volume, compression, clearance
    stem      stem, spring and lash after a seat is cut; the finished bore of a guide
    limits    limits and fits from a standard's tables

One set of units throughout: mm, MPa, N, degC, s, W, J, kg. NumPy only, no reading or writing.
"""
