"""The computation the job needs, in pure numbers: no club, no event, no clock in here.

Days are counted as plain integers by the caller (day 0 is whatever the caller says it is), temperatures are °C, lengths
mm of total length, weights g, shares between 0 and 1.
"""
