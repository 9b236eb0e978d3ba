"""Published equations, one pure function each: floats or NumPy arrays in SI units in, the same out.

Nothing here imports another part of pickrig. Every docstring gives the equation, its symbols with units, the range
it was published for, and its source. Numbers outside that range are computed all the same: the caller says so.
"""
