"""toebox: wheel alignment at home, from a driveway's readings to what to turn.

The command line is the main way in (`toebox --help`). From Python::

    from toebox.job import load
    from toebox.solve import solve

    solution = solve(load("samples/string-box.toml"))
    solution.passes[-1]["total_toe.front"].value    # [rad]

Importing this package costs nothing: each layer imports what it needs.
"""

import os

# The linear algebra here is tiny; worker threads only cost start-up time.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

__version__ = "1.0.0"
