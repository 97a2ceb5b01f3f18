"""The job file: TOML to a job, every fault with its line."""

from toebox.job.reader import load, loads

__all__ = ["load", "loads"]
