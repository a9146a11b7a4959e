"""What is said of a report by its number: that it is dealt with, or that it is not after all."""

from clubbot.model.orders import Unclear
from clubbot.model.seen import DoneReport, UndoneReport
from clubbot.understanding.orders.heard import Heard
from clubbot.understanding.orders.left import hangs_on, left_over


def report_order(heard: Heard) -> DoneReport | UndoneReport | Unclear | None:
    """ "Done D7", "D7 isn't done"; None where the text speaks of no report so."""
    for says, kind in (("report undone", UndoneReport), ("report done", DoneReport)):
        found = heard.first(says)
        if found is None:
            continue
        taken = [(one.first, one.end) for one in heard.all(says)]
        hangs = hangs_on(heard, taken)
        if hangs is not None and hangs.why == "condition":
            return hangs
        left = left_over(heard, taken)
        numbers = dict.fromkeys(int(form) for span in taken for form in heard.forms(*span) if form.isdigit())
        unused = ", ".join(filter(None, (left.reason, *left.orders)))
        return kind(tuple(numbers), unused)
    return None
