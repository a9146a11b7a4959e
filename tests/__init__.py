"""The tests mirror the folders of clubbot."""

import clubbot as clubbot  # numpy comes in after it has asked for one thread
