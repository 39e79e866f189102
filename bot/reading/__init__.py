"""What members' messages mean: words in, a reading out; nothing is recorded here.

`read` turns a message into events, a query, a question back or nothing; `answer` completes a question's draft; `sample` writes
sentences of the vocabulary with what they mean.
"""

from bot.reading.answering import AGREEING, answer
from bot.reading.corrections import begins_as_correction, put_right
from bot.reading.days import warm_up
from bot.reading.names import Names
from bot.reading.one_breath import in_one_breath
from bot.reading.reader import read
from bot.reading.sampling import sample
from bot.reading.values import Ask, Context, Dropped, Events, Item, Nothing, Query, Reading, as_json

__all__ = [
    "AGREEING",
    "Ask",
    "Context",
    "Dropped",
    "Events",
    "Item",
    "Names",
    "Nothing",
    "Query",
    "Reading",
    "answer",
    "as_json",
    "begins_as_correction",
    "in_one_breath",
    "put_right",
    "read",
    "sample",
    "warm_up",
]
