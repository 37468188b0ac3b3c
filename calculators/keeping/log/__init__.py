"""A gauge's log, from the text of a file to what it says about the tank.

In: the bytes or text of any delimited table with times and relative humidity. Out, in this
order: ``decode`` (text), ``table`` (rows), ``columns`` and ``times`` (which column is what, with
questions where the file cannot tell), ``reading`` (numbers), ``clean`` (one clean series and
every fault found), then ``band``, ``moisture``, ``change``, ``decay`` and ``thin``, which answer.
"""
