"""Every number by which a reading is decided, in one table, with what it was fitted on.

Fitted by `python -m tests.learning.fit` on texts that nothing was learnt from (tests/learning/README.md names them); it prints this table.
Moved afterwards, by the totals of labelled texts: how surely a text must be for us, down from 0.65 to 0.5, since it cost one exact answer in
a hundred and saved one answer to other people's texts in a hundred; an act in doubt is asked about.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighing:
    """A logistic regression: what each kind of evidence adds to the odds."""

    bias: float
    heard: float = 0.0
    words: float = 0.0
    piece: float = 0.0
    named: float = 0.0


# How likely an intent is: by the sentence model's odds and the logarithm of the words' probability. An intent that the model was never
# taught, a club's own topic, and every one where there is no model, by its words alone, of the whole text and of its likeliest piece.
INTENT = Weighing(bias=0.968, heard=0.785, words=0.342)
INTENT_BY_WORDS = Weighing(bias=1.962, words=0.623, piece=0.623)
# How likely a text is for us at all: by the model's odds, the logarithm of how much its words sound like nobody's business here, and whether
# it names something of the club's: an event, a loop, a hole, a day that has an event.
FOR_US = Weighing(bias=-2.286, heard=0.668, words=-0.317, named=-0.052)
FOR_US_BY_WORDS = Weighing(bias=-3.199, words=-1.012, named=1.296)

# A text is for us from this probability up; where something is this surely asked, from less;
# an act needs more, and is asked about below that.
OURS = 0.5
NEARLY_CERTAIN = 0.9
OURS_TO_ACT = 0.8
OURS_TO_ASK = 0.3
OURS_WHERE_CERTAIN = 0.3
# An answer is given from this probability up, an act is done, and one that takes something away.
ANSWERED = 0.57
DONE = 0.6
TAKEN_AWAY = 0.75
# The likeliest is served from less where nothing else comes near: so much likelier than the next.
ALONE = 0.25
STANDS_OUT = 3.0
# No text asks for more.
MOST_SERVED = 3
# Choices are offered where each is this likely and all together so much; never more than three.
CHOICE = 0.08
CHOICES_TOGETHER = 0.25
MOST_CHOICES = 3
# Somebody may be in danger: nothing is served unless it is nearly certain, a person has a look.
MAYBE_DANGER = 0.15
# Beside what is served an act that may be meant is asked about from this probability up.
ASKED_BESIDE = 0.35
# A part of a text says this where it is so likely of the part by itself; not fitted: as good as not.
SAID_IN_PART = 0.5
# How much a text must sound like the wish for no more texts where no rule is sure: with a word of texts in it, and without; and like the
# wish to have them again: with a word of going back, and without. Set on tests/understanding/opting_out.jsonl, not fitted.
STOP_OF_TEXTS, STOP_UNNAMED = 0.55, 0.75
AGAIN_TURNED, AGAIN_UNNAMED = 0.5, 0.9
