"""Arithmetic that knows nothing of where its numbers come from: floats or arrays in and out.

    kinds     a float or an array of them: what every function takes
    lame      the thick-ring formulas
    rings     two rings pressed together
    yielding  what one part loses for good under a pressure
    hot_cycle  a fit that yields, through hot and cold states
    pocket    what the pocket does to two rings
    bridge    what thin metal on one side does
    factor_table  how the tables of these two are read; bundled finds them where no database is open
    grid      straight-line interpolation
    curves    a material's properties over temperature
    band      how far a mean expansion may be off
    ageing    how much a warm hour ages a hardened casting
    heat      the clocks of a chilled ring
    heat_many the same for many ways at once, in arrays
    air       the air round a cold ring
    geometry  rings, counterbores, settings, rounding for people
    removal   the wall left of an old ring that is bored out
    seat_faces  the cones of a seat, where they cross, what a feed does
    deck      what a skim takes of volume, compression, clearance
    stem      stem, spring and lash after a seat is cut; the finished bore of a guide
    limits    limits and fits from a standard's tables

One set of units throughout: mm, MPa, N, degC, s, W, J, kg. NumPy only; nothing reads or writes but
`bundled`.
"""
