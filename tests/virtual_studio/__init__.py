"""A studio that is not there: paints unlike the built-in ones, a hand, instruments.

Everything is made from a seed. Its paints are bent away from the built-in curves in ways
that the calibration's own beliefs do not describe, and, where asked, break the paint model
as real ones do. What is invented here judges how calibration fares; it is no source of
facts about paint.
"""
