"""clubbot: a disc golf club's text number."""

import os

# Before anything brings numpy in: its threads gain nothing on matrices so small, and on a busy machine spin while they wait for each
# other (nine to twenty times the time of a text, measured), also for `ask`, `chat` and `rehearse`, which read in this very process.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
