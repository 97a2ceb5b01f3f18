"""Ratios measured side by side in one run: ``python -m tests.benchmarks`` prints the table.

Nothing here is a test: how fast a machine is proves nothing about the program. Each figure is the
time of what toebox does over the time of what it cannot do without, the two taken in turns.
"""
