"""The tests mirror the folders of clubbot."""

import os

# Before anything brings numpy in, for us and for every process that a test starts. One text is read on one processor: threads for
# matrices so small spin while they wait for each other; on two busy processors a text took nine to twenty times as long, measured.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
